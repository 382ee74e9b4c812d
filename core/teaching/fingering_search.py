"""The fingering of least cost, found exactly.

Dynamic programming over the moments of a line: a state is the fingers of the last two moments and, as long as they
matter, the fingers of earlier notes: of a key that is held down, and of a note whose octave comes later in the same
run. A state is dropped only where another one is at least as good whatever follows. The work grows linearly with
the line.
"""

from __future__ import annotations

from collections.abc import Sequence
from operator import add, ne
from typing import Final

from msgspec import Struct

from core.teaching.fingering_cost import (
    PairCosts,
    TripleCosts,
    chord_cost,
    held_costs,
    note_costs,
    pair_costs,
    triple_costs,
)
from core.teaching.fingering_passage import Moment, steps_between
from core.teaching.fingering_repeats import NO_WISH, Wish
from core.teaching.fingering_weights import ALIKE, KEPT_NOTE_CHANGED, MOVED_CHORD, WHOLE

UNREACHED: Final = 1 << 60
ALIKE_COST: Final = ALIKE * WHOLE

Key = tuple[int, int]
"""A key that was struck: the moment, and its place among the keys of that moment."""
Memory = tuple[int, ...]
Layer = dict[tuple[int, Memory], list[int]]
"""For a grip of a moment and the fingers remembered: the least cost so far, by the grip of the moment before."""


class Step(Struct, frozen=True):
    """Every cost that can arise on the way to a moment.

    Attributes:
        grips: of each grip by itself.
        pairs: by the grip before and the grip here.
        triples: by the grip before, the grip here and the one before those, or None.
        mate: place in the memory of the same note an octave earlier in the run, or -1.
        held: for each key held meanwhile its place in the memory, and costs by the holding finger and the grip.
        remembered: what is remembered from now on, as places in the memory followed by the grip here.
        in_a_row: the same where those places are neighbours.
        loose: how many of those, the first ones, can cost no more than `ALIKE` each.
    """

    grips: tuple[int, ...]
    pairs: PairCosts
    triples: TripleCosts | None
    mate: int
    held: tuple[tuple[int, PairCosts], ...]
    remembered: tuple[int, ...]
    in_a_row: slice | None
    loose: int


def steps_of(moments: Sequence[Moment], reach: int, wishes: Sequence[Wish] = ()) -> tuple[Step, ...]:
    """The costs of a line, moment by moment.

    Args:
        moments: the moments.
        reach: what the hand reaches, in semitones.
        wishes: a grip wished for at each moment, from `wishes_of`; nothing at all where none is.
    """
    last_use: dict[Key, int] = {}
    for index, moment in enumerate(moments):
        last_use.update(dict.fromkeys(moment.held, index))
        if moment.mate >= 0:
            last_use[moment.mate, 0] = index
    held_keys = {key for moment in moments for key in moment.held}
    steps: list[Step] = []
    memory: list[Key] = []
    for index, moment in enumerate(moments):
        known = memory + [(index, order) for order in range(len(moment.midis))]
        remembered = sorted((key for key in known if last_use.get(key, -1) > index), key=lambda key: key in held_keys)
        before = moments[index - 1] if index else None
        places = tuple(known.index(key) for key in remembered)
        steps.append(
            Step(
                grips=_grip_costs(moment, before, reach, wishes[index] if wishes else NO_WISH),
                pairs=_pairs(before, moment, reach) if before else (),
                triples=_triples(moments[index - 2], moments[index - 1], moment, reach) if index > 1 else None,
                mate=memory.index((moment.mate, 0)) if moment.mate >= 0 else -1,
                held=tuple((memory.index(key), _held(moments, key, moment, reach)) for key in moment.held),
                remembered=places,
                in_a_row=_in_a_row(places),
                loose=sum(key not in held_keys for key in remembered),
            )
        )
        memory = remembered
    return tuple(steps)


def best_grips(moments: Sequence[Moment], steps: Sequence[Step]) -> tuple[tuple[int, ...], ...]:
    """A grip for every moment, of least cost altogether; among equals the same one every time.

    Args:
        moments: the moments.
        steps: their costs, from `steps_of`.
    """
    return _way_back(layers_of(moments, steps), moments, steps) if moments else ()


def layers_of(moments: Sequence[Moment], steps: Sequence[Step]) -> list[Layer]:
    """The states of the search at every moment; how many there are in all is the work that it does.

    Args:
        moments: one moment or more.
        steps: their costs, from `steps_of`.
    """
    layers: list[Layer] = [{}]
    for place, grip in enumerate(moments[0].grips):
        memory = _kept(steps[0], grip)
        layers[0][place, memory] = [steps[0].grips[place]]
    for index in range(1, len(moments)):
        layers.append(_advance(layers[-1], steps[index], moments[index - 1], moments[index]))
    return layers


def cost_of(moments: Sequence[Moment], steps: Sequence[Step], grips: Sequence[tuple[int, ...]]) -> int:
    """Cost of a whole fingering: what `best_grips` makes as small as can be.

    Args:
        moments: the moments.
        steps: their costs, from `steps_of`.
        grips: one of its grips for every moment.

    Raises:
        ValueError: if a grip is none of its moment's.
    """
    places = [moment.grips.index(grip) for moment, grip in zip(moments, grips, strict=True)]
    total = 0
    memory: Memory = ()
    for index, (step, place, grip) in enumerate(zip(steps, places, grips, strict=True)):
        total += step.grips[place] + _remembered_cost(step, memory, place, grip[0])
        if index:
            total += step.pairs[places[index - 1]][place]
        if step.triples is not None:
            total += step.triples[places[index - 1]][place][places[index - 2]]
        memory = _kept(step, memory + grip)
    return total


def _advance(layer: Layer, step: Step, before: Moment, moment: Moment) -> Layer:
    triples, pairs, costs = step.triples, step.pairs, step.grips
    places = range(len(moment.grips))
    if not step.remembered and not step.held and step.mate < 0 and all(not memory for _, memory in layer):
        rows = [layer[place, ()] for place in range(len(before.grips))]
        if triples is None:
            lows = [min(row) for row in rows]
            return {
                (place, ()): [low + pair[place] + costs[place] for low, pair in zip(lows, pairs, strict=True)]
                for place in places
            }
        return {
            (place, ()): [
                min(map(add, row, triple[place])) + pair[place] + costs[place]
                for row, triple, pair in zip(rows, triples, pairs, strict=True)
            ]
            for place in places
        }
    width = len(before.grips)
    after: Layer = {}
    grips, mate, held, row_of = moment.grips, step.mate, step.held, step.in_a_row
    for (earlier, memory), row in layer.items():
        reached = [first for first, cost in enumerate(row) if cost < UNREACHED]
        least = min(row)
        pair = pairs[earlier]
        triple = triples[earlier] if triples is not None else None
        for place in places:
            if triple is None:
                arrived = least
            elif len(reached) == 1:
                # In a run the memory says which grips came before, and one way is left.
                arrived = least + triple[place][reached[0]]
            else:
                arrived = min(map(add, row, triple[place]))
            grip = grips[place]
            arrived += pair[place] + costs[place]
            if mate >= 0 and memory[mate] != grip[0]:
                arrived += ALIKE_COST
            for known, held_by in held:
                arrived += held_by[memory[known] - 1][place]
            after_memory = (memory + grip)[row_of] if row_of is not None else _kept(step, memory + grip)
            column = after.get((place, after_memory))
            if column is None:
                column = after[place, after_memory] = [UNREACHED] * width
            if arrived < column[earlier]:
                column[earlier] = arrived
    return _without_dominated(after, step.loose, width) if step.loose and len(after) > len(places) else after


def _kept(step: Step, known: Memory) -> Memory:
    """What is remembered of the memory so far and the grip here."""
    return known[step.in_a_row] if step.in_a_row is not None else tuple([known[key] for key in step.remembered])


def _without_dominated(layer: Layer, loose: int, width: int) -> Layer:
    """A layer without states that another one beats whatever follows.

    Two states with the same last two grips and the same held fingers differ in what follows by no more than
    `ALIKE` for each remembered finger in which they differ.
    """
    groups: dict[tuple[int, int, Memory], list[tuple[int, Memory]]] = {}
    for (place, memory), row in layer.items():
        for earlier, cost in enumerate(row):
            if cost < UNREACHED:
                groups.setdefault((place, earlier, memory[loose:]), []).append((cost, memory))
    kept: Layer = {}
    for (place, earlier, _), states in groups.items():
        best, best_memory = min(states)
        limit = best + ALIKE_COST * loose
        for cost, memory in states:
            if cost > best and (cost >= limit or cost >= best + ALIKE_COST * sum(map(ne, memory, best_memory))):
                continue
            kept.setdefault((place, memory), [UNREACHED] * width)[earlier] = cost
    return kept


def _remembered_cost(step: Step, memory: Memory, place: int, finger: int) -> int:
    cost = ALIKE_COST if step.mate >= 0 and memory[step.mate] != finger else 0
    for known, costs in step.held:
        cost += costs[memory[known] - 1][place]
    return cost


def _way_back(layers: list[Layer], moments: Sequence[Moment], steps: Sequence[Step]) -> tuple[tuple[int, ...], ...]:
    cost, place, memory, earlier = min(
        (cost, place, memory, earlier)
        for (place, memory), row in layers[-1].items()
        for earlier, cost in enumerate(row)
    )
    chosen = [place]
    for index in range(len(layers) - 1, 0, -1):
        step, grip = steps[index], moments[index].grips[place]
        before: tuple[int, Memory, int] | None = None
        for (candidate, known_before), row in layers[index - 1].items():
            known = known_before + grip
            if candidate != earlier or _kept(step, known) != memory:
                continue
            arriving = row if step.triples is None else list(map(add, row, step.triples[earlier][place]))
            low = min(arriving)
            more = step.pairs[earlier][place] + step.grips[place]
            if low + more + _remembered_cost(step, known_before, place, grip[0]) == cost:
                before = candidate, known_before, arriving.index(low)
                cost = row[before[2]]
                break
        if before is None:
            raise AssertionError("every state of a fingering was reached from one before it")
        place, memory, earlier = before
        chosen.append(place)
    return tuple(moment.grips[place] for moment, place in zip(moments, reversed(chosen), strict=True))


def _in_a_row(places: tuple[int, ...]) -> slice | None:
    if not places:
        return slice(0, 0)
    first, last = places[0], places[-1] + 1
    return slice(first, last) if places == tuple(range(first, last)) else None


def _grip_costs(moment: Moment, before: Moment | None, reach: int, wish: Wish) -> tuple[int, ...]:
    if not moment.single:
        intervals = tuple(high - low for low, high in zip(moment.midis, moment.midis[1:], strict=False))
        steps = tuple(max(1, high - low) for low, high in zip(moment.steps, moment.steps[1:], strict=False))
        costs = [chord_cost(grip, intervals, steps, moment.blacks, reach) for grip in moment.grips]
    elif before is None or not before.single:
        own = note_costs(moment.blacks[0], moment.settled, moment.end)
        costs = [own[finger - 1] for (finger,) in moment.grips]
    else:
        # Counted with the pair.
        costs = [0] * len(moment.grips)
    wished, unlike = wish
    if wished:
        costs = [
            cost + unlike * WHOLE * sum(map(ne, grip, wished)) for cost, grip in zip(costs, moment.grips, strict=True)
        ]
    return tuple(costs)


def _pairs(before: Moment, moment: Moment, reach: int) -> PairCosts:
    if before.single and moment.single:
        costs = pair_costs(
            moment.midis[0] - before.midis[0],
            abs(steps_between(before, moment)),
            (before.blacks[0], moment.blacks[0]),
            (before.settled, moment.settled),
            moment.end,
            reach,
            moment.share,
        )
        if len(before.grips) == len(moment.grips) == len(costs):
            return costs
        return tuple(tuple(costs[first - 1][second - 1] for (second,) in moment.grips) for (first,) in before.grips)
    here = [sum(moment.steps) - sum(grip) for grip in moment.grips]
    there = [sum(before.steps) - sum(grip) for grip in before.grips]
    ours, theirs = len(moment.midis), len(before.midis)
    shared = [(before.midis.index(midi), order) for order, midi in enumerate(moment.midis) if midi in before.midis]
    unit = MOVED_CHORD * moment.share
    changed = KEPT_NOTE_CHANGED * moment.share
    return tuple(
        tuple(
            unit * abs(place * theirs - place_before * ours) // (ours * theirs)
            + changed * sum(grip_before[old] != grip[new] for old, new in shared)
            for grip, place in zip(moment.grips, here, strict=True)
        )
        for grip_before, place_before in zip(before.grips, there, strict=True)
    )


def _triples(first: Moment, second: Moment, third: Moment, reach: int) -> TripleCosts | None:
    if not (first.single and second.single and third.single):
        return None
    to_second, to_third = second.midis[0] - first.midis[0], third.midis[0] - second.midis[0]
    steps = steps_between(first, second) + steps_between(second, third)
    costs = triple_costs(to_second, to_third, steps, reach, min(second.share, third.share))
    if len(first.grips) == len(second.grips) == len(third.grips) == len(costs):
        return costs
    return tuple(
        tuple(tuple(costs[b - 1][c - 1][a - 1] for (a,) in first.grips) for (c,) in third.grips)
        for (b,) in second.grips
    )


def _held(moments: Sequence[Moment], key: Key, moment: Moment, reach: int) -> PairCosts:
    held = moments[key[0]].midis[key[1]]
    tables = [held_costs(midi - held, reach) for midi in moment.midis]
    return tuple(
        tuple(
            sum(table[holding][finger - 1] for table, finger in zip(tables, grip, strict=True)) for grip in moment.grips
        )
        for holding in range(5)
    )

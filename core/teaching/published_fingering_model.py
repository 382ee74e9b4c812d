"""The published rule model of keyboard fingering, exactly as published.

Parncutt, Sloboda, Clarke, Raekallio & Desain (1997), "An ergonomic model of keyboard fingering for melodic
fragments", Music Perception 14(4):341–382: twelve rules, each with weight one, over one line for the right hand.
The rules were seen through public transcriptions, not in the paper. Three readings are needed to reproduce the
totals printed in its appendix:

- Small and large spans are counted along the natural direction of the two fingers.
- A triple whose outer pitches are equal costs nothing with one finger on both and one half change of no size with
  two; a triple whose outer fingers are equal on different pitches has span limits of zero and is a half change.
- At the ends of a fragment only neighbours that exist count for fingers on black keys; a cyclic fragment has no ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import product
from typing import Final

from msgspec import Struct

from core.teaching.spans import FINGERS, natural_interval, published_span

BLACK_KEYS: Final = frozenset({1, 3, 6, 8, 10})
"""Pitch classes of the black keys."""

IMPOSSIBLE: Final = 1_000_000
"""Cost of what the model does not allow: one finger on two different notes in a row."""


class SubCosts(Struct, frozen=True):
    """Points by rule, in the order and under the names of the published model."""

    stretch: int = 0
    small_span: int = 0
    large_span: int = 0
    position_change_count: int = 0
    position_change_size: int = 0
    weak_finger: int = 0
    three_four_five: int = 0
    three_to_four: int = 0
    four_on_black: int = 0
    thumb_on_black: int = 0
    five_on_black: int = 0
    thumb_passing: int = 0

    @property
    def total(self) -> int:
        """All points together."""
        return sum(getattr(self, rule) for rule in self.__struct_fields__)

    @property
    def as_tuple(self) -> tuple[int, ...]:
        """Points in the order of the twelve rules."""
        return tuple(getattr(self, rule) for rule in self.__struct_fields__)


def is_black(midi: int) -> bool:
    """Whether a MIDI number is a black key."""
    return midi % 12 in BLACK_KEYS


def sub_costs(midis: Sequence[int], fingers: Sequence[int], *, cyclic: bool = False) -> SubCosts:
    """Points of a whole fingering by rule.

    Args:
        midis: MIDI numbers of a line for the right hand, in order.
        fingers: as many fingers, 1 … 5.
        cyclic: whether the line begins again after its last note without a break.

    Returns:
        The points; `SubCosts.total` is the published total.

    Raises:
        ValueError: if there are not as many fingers as notes.
    """
    if len(midis) != len(fingers):
        raise ValueError(f"{len(fingers)} fingers for {len(midis)} notes")
    count = len(midis)
    if cyclic and count > 1:
        pairs = [(index, (index + 1) % count) for index in range(count)]
        triples = [(index, (index + 1) % count, (index + 2) % count) for index in range(count)]
    else:
        pairs = [(index, index + 1) for index in range(count - 1)]
        triples = [(index, index + 1, index + 2) for index in range(count - 2)]
    costs = [_note_costs(is_black(midi), finger) for midi, finger in zip(midis, fingers, strict=True)]
    costs += [
        _pair_costs(midis[b] - midis[a], is_black(midis[a]), is_black(midis[b]), fingers[a], fingers[b])
        for a, b in pairs
    ]
    costs += [
        _triple_costs(midis[b] - midis[a], midis[c] - midis[a], fingers[a], fingers[b], fingers[c])
        for a, b, c in triples
    ]
    return SubCosts(*(sum(rule) for rule in zip(*(cost.as_tuple for cost in costs), strict=True)))


def best_fingering(midis: Sequence[int]) -> tuple[int, ...]:
    """A fingering of least published total for a line of the right hand, found exactly.

    Dynamic programming over pairs of neighbouring fingers: every rule looks at three notes at most. Among equals
    the one with the lowest fingers from the first note on is given. The work grows linearly with the line.

    Args:
        midis: MIDI numbers, in order; may be empty.

    Returns:
        As many fingers, 1 … 5.
    """
    count = len(midis)
    blacks = [is_black(midi) for midi in midis]
    if count < 2:
        return tuple(min(FINGERS, key=lambda finger: _note_costs(black, finger).total) for black in blacks)
    # remaining[a, b]: least cost of everything after two neighbouring notes played with a and b.
    remaining = {(a, b): 0 for a in FINGERS for b in FINGERS}
    choices: list[dict[tuple[int, int], int]] = []
    for index in range(count - 1, 1, -1):
        pair = _pair_totals(midis[index] - midis[index - 1], blacks[index - 1], blacks[index])
        triple = _triple_totals(midis[index - 1] - midis[index - 2], midis[index] - midis[index - 2])
        chosen: dict[tuple[int, int], int] = {}
        before: dict[tuple[int, int], int] = {}
        for a, b in product(FINGERS, FINGERS):
            totals = [pair[b, c] + triple[a, b, c] + remaining[b, c] for c in FINGERS]
            before[a, b] = min(totals)
            chosen[a, b] = FINGERS[totals.index(before[a, b])]
        remaining = before
        choices.append(chosen)
    first_pair = _pair_totals(midis[1] - midis[0], blacks[0], blacks[1])
    starts = {
        (a, b): _note_costs(blacks[0], a).total + first_pair[a, b] + remaining[a, b]
        for a, b in product(FINGERS, FINGERS)
    }
    best = min(starts, key=starts.__getitem__)
    fingers = list(best)
    for chosen in reversed(choices):
        fingers.append(chosen[fingers[-2], fingers[-1]])
    return tuple(fingers)


def _note_costs(black: bool, finger: int) -> SubCosts:
    return SubCosts(weak_finger=int(finger >= 4), thumb_on_black=int(black and finger == 1))


def _pair_costs(
    interval: int, first_black: bool, second_black: bool, first_finger: int, second_finger: int
) -> SubCosts:
    """Rules about two neighbouring notes."""
    on_black = dict.fromkeys(("thumb", "little"), 0)
    for here, there, finger in ((first_black, second_black, first_finger), (second_black, first_black, second_finger)):
        if here and not there and finger in (1, 5):
            on_black["thumb" if finger == 1 else "little"] += 2
    if first_finger == second_finger:
        # One finger on two notes in a row is only for repeating a note.
        return SubCosts(stretch=0 if interval == 0 else IMPOSSIBLE)
    span = published_span(first_finger, second_finger)
    distance = natural_interval(first_finger, second_finger, interval)
    each = 1 if 1 in (first_finger, second_finger) else 2
    white_and_black = (first_finger, first_black, second_finger, second_black)
    return SubCosts(
        stretch=2 * _outside(distance, span.least_comfortable, span.most_comfortable),
        small_span=each * max(0, span.least_relaxed - distance),
        large_span=each * max(0, distance - span.most_relaxed),
        three_to_four=int((first_finger, second_finger) == (3, 4)),
        four_on_black=int(white_and_black in ((3, False, 4, True), (4, True, 3, False))),
        thumb_on_black=on_black["thumb"],
        five_on_black=on_black["little"],
        thumb_passing=_passing(distance, first_finger, first_black, second_finger, second_black),
    )


def _passing(distance: int, first_finger: int, first_black: bool, second_finger: int, second_black: bool) -> int:
    """Points for the thumb passing under, or a finger over it."""
    if 1 not in (first_finger, second_finger) or distance >= 0:
        return 0
    thumb_black, finger_black = (first_black, second_black) if first_finger == 1 else (second_black, first_black)
    if thumb_black == finger_black:
        return 1
    return 3 if thumb_black else 0


def _triple_costs(to_second: int, to_third: int, first: int, second: int, third: int) -> SubCosts:
    """Rules about three notes in a row: intervals from the first note, and fingers."""
    group = int(sorted((first, second, third)) == [3, 4, 5])
    if first == third:
        # The hand has moved by the whole interval, but never with the thumb passing between.
        return SubCosts(
            position_change_count=int(to_third != 0), position_change_size=abs(to_third), three_four_five=group
        )
    if to_third == 0:
        return SubCosts(position_change_count=1, three_four_five=group)
    span = published_span(first, third)
    distance = natural_interval(first, third, to_third)
    size = _outside(distance, span.least_comfortable, span.most_comfortable)
    if not size:
        return SubCosts(three_four_five=group)
    between = min(0, to_third) < to_second < max(0, to_third)
    full = second == 1 and between and not span.least_possible <= distance <= span.most_possible
    return SubCosts(position_change_count=2 if full else 1, position_change_size=size, three_four_five=group)


def _outside(distance: int, least: int, most: int) -> int:
    return max(0, least - distance, distance - most)


@lru_cache(maxsize=4096)
def _pair_totals(interval: int, first_black: bool, second_black: bool) -> dict[tuple[int, int], int]:
    """Cost of the second note and of the pair, for every two fingers."""
    return {
        (a, b): _note_costs(second_black, b).total + _pair_costs(interval, first_black, second_black, a, b).total
        for a, b in product(FINGERS, FINGERS)
    }


@lru_cache(maxsize=8192)
def _triple_totals(to_second: int, to_third: int) -> dict[tuple[int, int, int], int]:
    return {(a, b, c): _triple_costs(to_second, to_third, a, b, c).total for a, b, c in product(FINGERS, repeat=3)}

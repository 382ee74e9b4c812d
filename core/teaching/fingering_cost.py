"""What a fingering costs the hand: our own rules, started from the published ones and mended.

Costs are counted for the right hand; the left hand is the right hand on a mirrored keyboard. The start is the
published model of `published_fingering_model`: its spans, its rules for stretches, small and large spans, position
changes, passing and fingers on black keys keep their meaning. With unit weights it misses the handbook's fingers in
half of the scales, so the weights (`fingering_weights`) were fitted by linear programming: of all weights under which
the fingerings of handbooks cost less than every other fingering of the same notes, those whose changes from the
published ones are smallest in sum, with some regard for the same scales between other notes. Eight of them were then
moved by small steps, as long as every row and every five-finger position held, towards the same rows inside longer
melodies made at random (other ones than the checks make). The handbook rows are the scales, arpeggios and some broken
chords of Beringer & Dunhill, "Daily Technical Studies" (1900), minor scales as commonly taught (from memory), and
tunes and broken triads within a five-finger position in every key.

What was added to the published rules, because no weights of theirs alone agree with handbooks:

- **One finger for each step.** A hand at rest has a finger for each step of the scale; a pair of fingers that is
  wider or closer than its steps has opened or closed the hand.
- **Passing is judged by finger, width and colour.** A longer finger passes a wider interval; from a black key down
  to a white one there is room under the hand.
- **Thumb and little finger on black keys** cost nothing more where the tune is settled within a fifth and the whole
  hand moves in between the black keys, and what was published or more in a passage that moves on.
- **A run begins and ends with room**: at either end of five notes or more in one direction, fingers that leave the
  hand no room cost more.
- **A run that goes on over an octave** takes the same finger on the same note of each octave (`ALIKE`, in the search).
- **Turning around the thumb, creeping, lifting**: three notes in a row that leave the hand no position of its own.

Nothing here knows a key, a scale or a chord: every cost is of two or three neighbouring notes.
Costs are whole numbers, `POINT` to one point of the published model.
"""

from __future__ import annotations

from enum import IntEnum
from functools import lru_cache

from core.teaching import fingering_weights as weigh
from core.teaching.fingering_weights import WHOLE
from core.teaching.spans import FINGERS, Span, spans_for_reach

Costs = tuple[int, ...]
"""Costs of a note by its finger, thumb first."""
PairCosts = tuple[Costs, ...]
"""Costs of two notes in a row: by the first finger, then the second, thumb first."""
TripleCosts = tuple[PairCosts, ...]
"""Costs of three notes in a row: by the second finger, the third, then the first, thumb first."""

ONE_THUMB_TAKES = 2
"""Widest interval in semitones that one thumb strikes at once."""


class RunEnd(IntEnum):
    """Which end of a run a note is, seen from the thumb's side."""

    NEITHER = 0
    NEAR = 1
    FAR = 2


@lru_cache(maxsize=16)
def note_costs(black: bool, settled: bool, end: RunEnd) -> Costs:
    """Cost of a note by its finger.

    Args:
        black: whether it is on a black key.
        settled: whether the tune is settled around it.
        end: which end of a run it is.
    """
    costs = [weigh.ON_BLACK if black else weigh.ON_WHITE]
    if not settled:
        if black:
            costs.append(weigh.ON_BLACK_WHILE_MOVING)
        if end is RunEnd.NEAR:
            costs.append(weigh.RUN_FROM_BLACK if black else weigh.RUN_FROM_WHITE)
        if end is RunEnd.FAR:
            costs.append(weigh.RUN_TO_BLACK if black else weigh.RUN_TO_WHITE)
    return tuple(sum(points) * WHOLE for points in zip(*costs, strict=True))


@lru_cache(maxsize=16384)
def pair_costs(
    interval: int,
    steps: int,
    colours: tuple[bool, bool],
    settled: tuple[bool, bool],
    end: RunEnd,
    reach: int,
    share: int,
) -> PairCosts:
    """Cost of two notes in a row, with the cost of the second note, by both fingers.

    Args:
        interval: semitones from the first note to the second, up positive.
        steps: how many steps of the staff lie between them, 0 or more.
        colours: whether each is on a black key.
        settled: whether the tune is settled around each.
        end: which end of a run the second one is.
        reach: what the hand reaches, in semitones.
        share: how much of the cost counts, in twentieths; less after a rest.
    """
    second = note_costs(colours[1], settled[1], end)
    spans = spans_for_reach(reach)
    if interval == 0:
        share = max(share, weigh.LEAST_SHARE_OF_REPEATED)
    return tuple(
        tuple(
            _pair(interval, steps, colours, settled, first, finger, spans) * share + own
            for finger, own in zip(FINGERS, second, strict=True)
        )
        for first in FINGERS
    )


def _pair(
    interval: int,
    steps: int,
    colours: tuple[bool, bool],
    settled: tuple[bool, bool],
    first: int,
    second: int,
    spans: dict[tuple[int, int], Span],
) -> int:
    """Thousandths of a point for one pair of fingers."""
    if interval == 0:
        return 0 if first == second else weigh.REPEATED_WITH_ANOTHER
    if first == second:
        return weigh.LIFTED_ONTO_THE_SAME
    cost = _beside_white(colours[0], colours[1], settled[0], first)
    cost += _beside_white(colours[1], colours[0], settled[1], second)
    if first > second:
        first, second, interval, colours = second, first, -interval, (colours[1], colours[0])
    if interval > 0:
        return min(weigh.LIFTED, cost + _spread(interval, steps, first, second, spans[first, second]))
    if first != 1:
        return weigh.LIFTED_ONTO_THE_SAME
    return min(weigh.LIFTED, cost + _passing(-interval, colours, second))


def _beside_white(black: bool, neighbour_black: bool, settled: bool, finger: int) -> int:
    if not black or neighbour_black:
        return 0
    moving = 0 if settled else weigh.BLACK_BESIDE_WHITE_WHILE_MOVING[finger - 1]
    return weigh.BLACK_BESIDE_WHITE[finger - 1] + moving


def _spread(interval: int, steps: int, low: int, high: int, span: Span) -> int:
    """Two fingers in their natural order; the first is the one nearer the thumb."""
    stretch = max(0, span.least_comfortable - interval, interval - span.most_comfortable)
    small = max(0, span.least_relaxed - interval)
    large = max(0, interval - span.most_relaxed)
    beyond = weigh.BEYOND * max(0, interval - span.most_possible)
    opened = steps - (high - low)
    if low == 1:
        hand = weigh.OPENED_WITH_THUMB * opened if opened > 0 else -weigh.CLOSED_WITH_THUMB * opened
        hand += weigh.STRETCH_WITH_THUMB * stretch + weigh.LARGE_WITH_THUMB * large + weigh.SMALL_WITH_THUMB * small
        return beyond + hand
    hand = (weigh.OPENED + weigh.OPENED_BETWEEN.get((low, high), 0)) * max(0, opened)
    if high - low == 1 and interval >= weigh.FOURTH:
        hand += weigh.FOURTH_BETWEEN_NEIGHBOURS
    return beyond + hand + weigh.STRETCH * stretch + weigh.LARGE * large + weigh.SMALL * small


def _passing(width: int, colours: tuple[bool, bool], finger: int) -> int:
    """The thumb beyond another finger, by a width in semitones; the first colour is the thumb's."""
    thumb_black, finger_black = colours
    cost = weigh.PASS + weigh.PASS_WITH[finger]
    if thumb_black and finger_black:
        cost += weigh.PASS_ON_BLACK + weigh.PASS_WITH_ON_BLACK.get(finger, 0)
    elif thumb_black:
        cost += weigh.PASS_THUMB_ON_BLACK
    elif not finger_black:
        cost += weigh.PASS_ON_WHITE + weigh.PASS_WITH_ON_WHITE.get(finger, 0)
    elif width == 1:
        cost += weigh.PASS_UNDER_BLACK_BY_SEMITONE.get(finger, 0)
    wider = weigh.PASS_WIDER.get(finger, ())
    return cost + sum(more * max(0, width - beyond) for beyond, more in enumerate(wider, start=1))


@lru_cache(maxsize=16384)
def triple_costs(first_interval: int, second_interval: int, steps: int, reach: int, share: int) -> TripleCosts:
    """Cost of three single notes in a row, beyond that of their pairs.

    Args:
        first_interval: semitones from the first note to the second, up positive.
        second_interval: from the second to the third.
        steps: steps of the staff between the first and the third, up positive.
        reach: what the hand reaches, in semitones.
        share: how much counts, in twentieths.
    """
    spans = spans_for_reach(reach)
    return tuple(
        tuple(
            tuple(
                min(weigh.MOST_OF_THREE, _triple(first_interval, second_interval, steps, (first, second, third), spans))
                * share
                for first in FINGERS
            )
            for third in FINGERS
        )
        for second in FINGERS
    )


def _triple(
    first_interval: int,
    second_interval: int,
    steps: int,
    fingers: tuple[int, int, int],
    spans: dict[tuple[int, int], Span],
) -> int:
    if first_interval == 0 or second_interval == 0:
        return 0
    first, second, third = fingers
    interval = first_interval + second_interval
    onward = first_interval * second_interval > 0
    if first == third:
        if interval == 0:
            return 0
        cost = weigh.CHANGED_PLACE
        if second != 1:
            return cost + weigh.CREEP + (weigh.GROUP_OF_TWO if first == 1 else 0)
        return cost + (weigh.AROUND_THUMB.get((first, third), 0) if onward else 0)
    cost = 0
    if second == 1 and first != 1 and third != 1 and onward:
        cost += weigh.AROUND_THUMB.get((min(first, third), max(first, third)), 0)
    if interval == 0:
        return cost + weigh.CHANGED_PLACE
    in_order = (second - first) * first_interval > 0 and (third - second) * second_interval > 0
    low, high, distance = (first, third, interval) if first < third else (third, first, -interval)
    span = spans[low, high]
    if in_order:
        if steps * (third - first) >= 0:
            cost += weigh.OPENED_OVER_THREE * abs(abs(steps) - abs(third - first))
        wide = weigh.WIDE_OVER_THREE_WITH_THUMB if low == 1 else weigh.WIDE_OVER_THREE
        cost += wide * max(0, distance - span.most_relaxed)
        cost += 0 if low == 1 else weigh.CLOSE_OVER_THREE * max(0, span.least_relaxed - distance)
    outside = max(0, span.least_comfortable - distance, distance - span.most_comfortable)
    if outside:
        cost += weigh.CHANGED_PLACE
    return cost


@lru_cache(maxsize=4096)
def held_costs(interval: int, reach: int) -> PairCosts:
    """Cost of striking a note while another is held: by the holding finger, then the striking one.

    Args:
        interval: semitones from the held note to the struck one, up positive.
        reach: what the hand reaches, in semitones.
    """
    spans = spans_for_reach(reach)

    def cost(holding: int, striking: int) -> int:
        if holding == striking:
            return weigh.HELD_FINGER_TAKEN
        if (striking - holding) * interval <= 0:
            return weigh.HELD_CROSSED
        span = spans[min(holding, striking), max(holding, striking)]
        outside = max(0, span.least_comfortable - abs(interval), abs(interval) - span.most_comfortable)
        return weigh.STRETCH_WITH_THUMB * outside

    return tuple(tuple(cost(holding, striking) * WHOLE for striking in FINGERS) for holding in FINGERS)


@lru_cache(maxsize=8192)
def chord_cost(
    fingers: tuple[int, ...],
    intervals: tuple[int, ...],
    steps: tuple[int, ...],
    blacks: tuple[bool, ...],
    reach: int,
) -> int:
    """Cost of notes struck together with rising fingers.

    Args:
        fingers: one for each note, from the thumb's side; they rise but where the teacher wants it otherwise.
        intervals: semitones from each note to the next.
        steps: steps of the staff from each note to the next.
        blacks: whether each is on a black key.
        reach: what the hand reaches, in semitones.
    """
    spans = spans_for_reach(reach)
    cost = sum(
        note_costs(black, True, RunEnd.NEITHER)[finger - 1] for black, finger in zip(blacks, fingers, strict=True)
    )
    for place, interval in enumerate(intervals):
        low, high = fingers[place], fingers[place + 1]
        if low >= high:
            # The thumb on two neighbouring keys, or the teacher's own way.
            cost += (0 if low == high and interval <= ONE_THUMB_TAKES else weigh.HELD_CROSSED) * WHOLE
            continue
        span = spans[low, high]
        together = 0
        if low != 1:
            together = weigh.STRETCH_TOGETHER * max(0, interval - span.most_comfortable)
            together += weigh.OPENED_TOGETHER * max(0, steps[place] - (high - low))
        cost += (_spread(interval, steps[place], low, high, span) + together) * WHOLE
    if len(fingers) > 2 and fingers[0] < fingers[-1]:
        span = spans[fingers[0], fingers[-1]]
        cost += weigh.STRETCH_WITH_THUMB * max(0, sum(intervals) - span.most_comfortable) * WHOLE
    return cost

"""What a fingering costs the hand: our own rules, started from the published ones and mended.

Costs are counted for the right hand; the left hand is the right hand on a mirrored keyboard. The start is the
published model of `published_fingering_model`: its spans, its rules for stretches, small and large spans, position
changes, passing and fingers on black keys keep their meaning. With unit weights it misses the handbook's fingers in
half of the scales, so the weights were fitted: the weights nearest to the published ones (in the sum of their
changes) under which the fingerings of handbooks cost less than every other fingering of the same notes. The
handbook rows are the scales, arpeggios and broken chords of Beringer & Dunhill, "Daily Technical Studies" (1900),
minor scales as commonly taught (from memory), and tunes within a five-finger position in every key.

What was added to the published rules, because no weights of theirs alone agree with handbooks:

- **One finger for each step.** A hand at rest has a finger for each step of the scale; a pair of fingers that is
  wider or closer than its steps has opened or closed the hand.
- **Passing is judged by finger, width and colour.** A longer finger passes a wider interval; from a black key down
  to a white one there is room under the hand.
- **Thumb and little finger on black keys** cost nothing more where the tune is settled within a fifth and the whole
  hand moves in between the black keys, and what was published or more in a passage that moves on.
- **A run that goes on over an octave** takes the same finger on the same note of each octave (`ALIKE`, in the search).
- **Turning around the thumb, creeping, lifting**: three notes in a row that leave the hand no position of its own.

Nothing here knows a key, a scale or a chord: every cost is of two or three neighbouring notes.
Costs are whole numbers, `POINT` to one point of the published model.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from core.teaching.spans import FINGERS, Span, spans_for_reach

WHOLE: Final = 20
"""Share of a cost that counts in full, in twentieths; less counts after a rest."""
POINT: Final = 1000 * WHOLE
"""Units of cost in one point of the published model; the constants below are in thousandths of a point."""

Costs = tuple[int, ...]
"""Costs of a note by its finger, thumb first."""
PairCosts = tuple[Costs, ...]
"""Costs of two notes in a row: by the first finger, then the second, thumb first."""
TripleCosts = tuple[PairCosts, ...]
"""Costs of three notes in a row: by the second finger, the third, then the first, thumb first."""

ALIKE: Final = 300
"""Another finger on the same note of the next octave of one run, or where a passage comes back."""

ON_WHITE: Final = (0, 100, 100, 100, 100)
"""Each finger on a white key; the thumb is the finger that leads the hand."""
ON_BLACK: Final = (0, 100, 100, 200, 100)
"""Each finger on a black key where the tune is settled."""
ON_BLACK_WHILE_MOVING: Final = (1543, 0, 0, 0, 946)
"""More on a black key where the passage moves on."""
BLACK_BESIDE_WHITE_WHILE_MOVING: Final = (2265, 0, 0, 0, 2610)
"""More there for each white neighbour, by the finger on the black key."""

BEYOND: Final = 10000
"""For each semitone beyond what can be played at all."""
STRETCH_WITH_THUMB: Final = 2000
"""For each semitone beyond what is comfortable."""
SMALL_WITH_THUMB: Final = 301
SMALL: Final = 2000
LARGE_WITH_THUMB: Final = 1000
"""Small and large: for each semitone closer or wider than relaxed."""
OPENED_WITH_THUMB: Final = 995
"""For each step that a thumb and a finger lie wider than a finger to a step."""
OPENED: Final = 375
OPENED_BETWEEN: Final = {(3, 4): 386, (4, 5): 508}
"""More between neighbours that open less easily."""
OPENED_FURTHER: Final = 740
"""More, for each step beyond the first, between two fingers without the thumb."""
FOURTH: Final = 5
FOURTH_BETWEEN_NEIGHBOURS: Final = 2000
"""A fourth or more, so many semitones, between neighbours without the thumb."""
CLOSED_WITH_THUMB: Final = 126
"""For each step that a thumb and a finger lie closer than a finger to a step."""
THREE_AND_FOUR: Final = 85
"""The third and fourth finger one after the other, the least independent pair."""

PASS: Final = 2000
PASS_STRETCHED: Final = 430
"""For each semitone that a pass is wider than comfortable."""
PASS_ON_WHITE: Final = 1000
PASS_ON_BLACK: Final = 1000
PASS_THUMB_ON_BLACK: Final = 3000
PASS_UNDER_BLACK: Final = {2: 513, 3: 613, 4: 513, 5: 513}
"""The thumb on a white key passes that finger on a black one …"""
PASS_UNDER_BLACK_BY_SEMITONE: Final = {2: 84, 3: 459, 4: 455}
"""… and more where the two keys are neighbours and leave little room."""
PASS_WITH: Final = {2: 605, 3: 60, 4: 0, 5: 20000}
"""By the finger that passes or is passed."""
PASS_WIDER: Final = {3: (472, 472), 4: (0, 934)}
"""By that finger: for a second semitone, and for each one more."""

REPEATED_WITH_ANOTHER: Final = 4000
"""Another finger on a repeated note."""
LIFTED: Final = 8000
"""The hand is lifted and set down anew: no two notes in a row ask for more than that …"""
LIFTED_ONTO_THE_SAME: Final = 9000
"""… or than this, where a finger jumps from one key to another or fingers cross without the thumb."""

HALF_CHANGE: Final = 69
FULL_CHANGE: Final = 317
CREEP: Final = 1000
"""One finger on two different notes with a note between that is not the thumb's: the hand creeps along."""
GROUP_OF_TWO: Final = 300
"""More where that finger is the thumb."""
WIDE_OVER_THREE: Final = 225
WIDE_OVER_THREE_WITH_THUMB: Final = 583
"""For each semitone that the outer two of three notes in one direction are wider apart than relaxed."""
CLOSE_OVER_THREE: Final = 135
"""For each semitone that they are closer than relaxed, without the thumb."""
AROUND_THUMB: Final = {(2, 4): 161, (3, 3): 122, (3, 4): 830, (4, 4): 940}
"""The fingers before and after a thumb on which the hand turns."""
MOST_OF_THREE: Final = 4000
"""Three notes in a row add no more than this."""

MOVED_CHORD: Final = 300
"""For each step by which the hand moves from or to notes struck together."""
KEPT_NOTE_CHANGED: Final = 2000
"""Another finger on a note that two chords share."""
OPENED_TOGETHER: Final = 750
"""More for each step that two fingers that strike together are opened, without the thumb."""
STRETCH_TOGETHER: Final = 2000
"""For each semitone beyond what is comfortable between two fingers that strike together, without the thumb."""
HELD_FINGER_TAKEN: Final = 60000
"""The finger that is asked for still holds a key down."""
HELD_CROSSED: Final = 20000
"""A finger on the wrong side of one that holds a key."""


def note_costs(black: bool, settled: bool) -> Costs:
    """Cost of a note by its finger.

    Args:
        black: whether it is on a black key.
        settled: whether the tune is settled around it.
    """
    if not black:
        return tuple(points * WHOLE for points in ON_WHITE)
    more = (0,) * 5 if settled else ON_BLACK_WHILE_MOVING
    return tuple((points + extra) * WHOLE for points, extra in zip(ON_BLACK, more, strict=True))


@lru_cache(maxsize=16384)
def pair_costs(
    interval: int, steps: int, colours: tuple[bool, bool], settled: tuple[bool, bool], reach: int, share: int
) -> PairCosts:
    """Cost of two notes in a row, with the cost of the second note, by both fingers.

    Args:
        interval: semitones from the first note to the second, up positive.
        steps: how many steps of the staff lie between them, 0 or more.
        colours: whether each is on a black key.
        settled: whether the tune is settled around each.
        reach: what the hand reaches, in semitones.
        share: how much of the cost counts, in twentieths; less after a rest.
    """
    second = note_costs(colours[1], settled[1])
    spans = spans_for_reach(reach)
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
        return 0 if first == second else REPEATED_WITH_ANOTHER
    if first == second:
        return LIFTED_ONTO_THE_SAME
    cost = _beside_white(colours[0], colours[1], settled[0], first)
    cost += _beside_white(colours[1], colours[0], settled[1], second)
    if first > second:
        first, second, interval, colours = second, first, -interval, (colours[1], colours[0])
    if interval > 0:
        return min(LIFTED, cost + _spread(interval, steps, first, second, spans[first, second]))
    if first != 1:
        return LIFTED_ONTO_THE_SAME
    return min(LIFTED, cost + _passing(-interval, colours, second, spans[1, second]))


def _beside_white(black: bool, neighbour_black: bool, settled: bool, finger: int) -> int:
    return BLACK_BESIDE_WHITE_WHILE_MOVING[finger - 1] if black and not neighbour_black and not settled else 0


def _spread(interval: int, steps: int, low: int, high: int, span: Span) -> int:
    """Two fingers in their natural order; the first is the one nearer the thumb."""
    small = max(0, span.least_relaxed - interval)
    beyond = BEYOND * max(0, interval - span.most_possible)
    opened = steps - (high - low)
    if low == 1:
        stretch = max(0, span.least_comfortable - interval, interval - span.most_comfortable)
        large = max(0, interval - span.most_relaxed)
        open_hand = OPENED_WITH_THUMB * opened if opened > 0 else -CLOSED_WITH_THUMB * opened
        return beyond + STRETCH_WITH_THUMB * stretch + LARGE_WITH_THUMB * large + SMALL_WITH_THUMB * small + open_hand
    if opened > 0:
        open_hand = (OPENED + OPENED_BETWEEN.get((low, high), 0)) * opened + OPENED_FURTHER * (opened - 1)
    else:
        open_hand = 0
    if high - low == 1 and interval >= FOURTH:
        open_hand += FOURTH_BETWEEN_NEIGHBOURS
    return beyond + SMALL * small + open_hand + (THREE_AND_FOUR if (low, high) == (3, 4) else 0)


def _passing(width: int, colours: tuple[bool, bool], finger: int, span: Span) -> int:
    """The thumb beyond another finger, by a width in semitones; the first colour is the thumb's."""
    thumb_black, finger_black = colours
    cost = PASS + PASS_WITH[finger] + PASS_STRETCHED * max(0, width + span.least_comfortable)
    if thumb_black:
        cost += PASS_ON_BLACK if finger_black else PASS_THUMB_ON_BLACK
    elif finger_black:
        cost += PASS_UNDER_BLACK[finger] + (PASS_UNDER_BLACK_BY_SEMITONE.get(finger, 0) if width == 1 else 0)
    else:
        cost += PASS_ON_WHITE
    second, further = PASS_WIDER.get(finger, (0, 0))
    return cost + (second if width > 1 else 0) + further * max(0, width - 2)


@lru_cache(maxsize=16384)
def triple_costs(first_interval: int, second_interval: int, reach: int, share: int) -> TripleCosts:
    """Cost of three single notes in a row, beyond that of their pairs.

    Args:
        first_interval: semitones from the first note to the second, up positive.
        second_interval: from the second to the third.
        reach: what the hand reaches, in semitones.
        share: how much counts, in twentieths.
    """
    spans = spans_for_reach(reach)
    return tuple(
        tuple(
            tuple(
                min(MOST_OF_THREE, _triple(first_interval, second_interval, (first, second, third), spans)) * share
                for first in FINGERS
            )
            for third in FINGERS
        )
        for second in FINGERS
    )


def _triple(
    first_interval: int,
    second_interval: int,
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
        cost = HALF_CHANGE
        if second != 1:
            return cost + CREEP + (GROUP_OF_TWO if first == 1 else 0)
        return cost + (AROUND_THUMB.get((first, third), 0) if onward else 0)
    cost = 0
    if second == 1 and first != 1 and third != 1 and onward:
        cost += AROUND_THUMB.get((min(first, third), max(first, third)), 0)
    if interval == 0:
        return cost + HALF_CHANGE
    in_order = (second - first) * first_interval > 0 and (third - second) * second_interval > 0
    low, high, distance = (first, third, interval) if first < third else (third, first, -interval)
    span = spans[low, high]
    if in_order:
        wide = WIDE_OVER_THREE_WITH_THUMB if low == 1 else WIDE_OVER_THREE
        cost += wide * max(0, distance - span.most_relaxed)
        cost += 0 if low == 1 else CLOSE_OVER_THREE * max(0, span.least_relaxed - distance)
    outside = max(0, span.least_comfortable - distance, distance - span.most_comfortable)
    if outside:
        full = second == 1 and onward and not span.least_possible <= distance <= span.most_possible
        cost += FULL_CHANGE if full else HALF_CHANGE
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
            return HELD_FINGER_TAKEN
        if (striking - holding) * interval <= 0:
            return HELD_CROSSED
        span = spans[min(holding, striking), max(holding, striking)]
        outside = max(0, span.least_comfortable - abs(interval), abs(interval) - span.most_comfortable)
        return STRETCH_WITH_THUMB * outside

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
        fingers: one for each note, from the thumb's side.
        intervals: semitones from each note to the next.
        steps: steps of the staff from each note to the next.
        blacks: whether each is on a black key.
        reach: what the hand reaches, in semitones.
    """
    spans = spans_for_reach(reach)
    cost = sum(note_costs(black, True)[finger - 1] for black, finger in zip(blacks, fingers, strict=True))
    for place, interval in enumerate(intervals):
        low, high = fingers[place], fingers[place + 1]
        if low == high:
            cost += (0 if interval <= 2 else HELD_CROSSED) * WHOLE
            continue
        span = spans[low, high]
        together = 0
        if low != 1:
            together = STRETCH_TOGETHER * max(0, interval - span.most_comfortable)
            together += OPENED_TOGETHER * max(0, steps[place] - (high - low))
        cost += (_spread(interval, steps[place], low, high, span) + together) * WHOLE
    if len(fingers) > 2 and fingers[0] != fingers[-1]:
        span = spans[fingers[0], fingers[-1]]
        cost += STRETCH_WITH_THUMB * max(0, sum(intervals) - span.most_comfortable) * WHOLE
    return cost

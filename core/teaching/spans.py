"""How far apart two fingers of one hand lie on the keyboard.

The limits are the published ones of Parncutt, Sloboda, Clarke, Raekallio & Desain (1997), "An ergonomic model of
keyboard fingering for melodic fragments", Music Perception 14(4):341–382, Table 1, seen through public
transcriptions of the table and not in the paper itself. All are in semitones, for the right hand, from the finger
nearer the thumb to the other one; a negative span means that the thumb has passed under or the finger over it.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from msgspec import Struct

FINGERS: Final = (1, 2, 3, 4, 5)
"""The fingers of a hand, from the thumb to the little finger."""

OCTAVE: Final = 12
"""Semitones of the reach for which the published limits hold as they are."""


class Span(Struct, frozen=True):
    """Limits of the interval between two fingers, in semitones, from least to most.

    Attributes:
        least_possible: the closest, or the farthest crossed, that can be played at all.
        least_comfortable: the closest that is comfortable.
        least_relaxed: the closest with a relaxed hand.
        most_relaxed: the widest with a relaxed hand.
        most_comfortable: the widest that is comfortable.
        most_possible: the widest that can be played at all.
    """

    least_possible: int
    least_comfortable: int
    least_relaxed: int
    most_relaxed: int
    most_comfortable: int
    most_possible: int


PUBLISHED_SPANS: Final[dict[tuple[int, int], Span]] = {
    (1, 2): Span(-5, -3, 1, 5, 8, 10),
    (1, 3): Span(-4, -2, 3, 7, 10, 12),
    (1, 4): Span(-3, -1, 5, 9, 12, 14),
    (1, 5): Span(-1, 1, 7, 10, 13, 15),
    (2, 3): Span(1, 1, 1, 2, 3, 5),
    (2, 4): Span(1, 1, 3, 4, 5, 7),
    (2, 5): Span(2, 2, 5, 6, 8, 10),
    (3, 4): Span(1, 1, 1, 2, 2, 4),
    (3, 5): Span(1, 1, 3, 4, 5, 7),
    (4, 5): Span(1, 1, 1, 2, 3, 5),
}
"""Parncutt et al. 1997, Table 1: limits for each pair of fingers, the one nearer the thumb first."""


def natural_interval(first_finger: int, second_finger: int, interval: int) -> int:
    """An interval as seen from the finger nearer the thumb.

    Args:
        first_finger: the finger that plays first, 1 … 5.
        second_finger: another finger, 1 … 5.
        interval: semitones from the first note to the second, up positive, for the right hand.

    Returns:
        Semitones from the finger nearer the thumb to the other.
    """
    return interval if first_finger < second_finger else -interval


def published_span(first_finger: int, second_finger: int) -> Span:
    """The published limits for two different fingers in either order.

    Raises:
        KeyError: if both are the same finger.
    """
    return PUBLISHED_SPANS[min(first_finger, second_finger), max(first_finger, second_finger)]


@lru_cache(maxsize=32)
def spans_for_reach(reach: int) -> dict[tuple[int, int], Span]:
    """The published limits scaled to a hand.

    The published table is taken as that of a hand which reaches an octave; a wider or narrower reach moves the wide
    limits in proportion, to the nearest semitone. How far the thumb passes under is left as it is.

    Args:
        reach: widest comfortable interval of the hand, in semitones.

    Returns:
        Limits for each pair of fingers, the one nearer the thumb first.
    """
    return {pair: _scaled(span, reach) for pair, span in PUBLISHED_SPANS.items()}


def _scaled(span: Span, reach: int) -> Span:
    relaxed, comfortable, possible = (
        max(1, round(wide * reach / OCTAVE)) for wide in (span.most_relaxed, span.most_comfortable, span.most_possible)
    )
    return Span(
        span.least_possible,
        span.least_comfortable,
        min(span.least_relaxed, relaxed),
        relaxed,
        comfortable,
        possible,
    )

"""The terms of each cause of effort, measured on one window of two bars.

Each term is put on a curve from 0 towards 1 by the two bounds given beside it; terms of one hand take the larger
hand. Rates are per quarter note, or per second where time matters, over the length of the window.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from functools import reduce
from itertools import pairwise
from math import log2, sqrt
from operator import or_
from typing import Final

from msgspec import Struct

from core.song.time import TICKS_PER_QUARTER
from core.teaching.effort_moments import BLACK_SCALE, HandMoments, JointMoment, JointMoments, Moment

CAUSES: Final = ("reach", "travel", "black_keys", "rhythm", "coordination", "memory", "speed")


class Window(Struct, frozen=True):
    """The moments within a stretch of time.

    Attributes:
        right: the right hand's moments.
        left: the left hand's.
        joint: both hands'.
        quarters: length in quarter notes.
        seconds: length in seconds.
        beats: length in beats.
    """

    right: Sequence[Moment]
    left: Sequence[Moment]
    joint: Sequence[JointMoment]
    quarters: float
    seconds: float
    beats: float

    @property
    def hands(self) -> tuple[Sequence[Moment], Sequence[Moment]]:
        """The moments of the right hand and of the left."""
        return (self.right, self.left)

    @classmethod
    def between(
        cls,
        right: HandMoments,
        left: HandMoments,
        joint: JointMoments,
        start: int,
        end: int,
        tempo: float,
        beats: float,
    ) -> Window:
        """The window from one tick to another, so many beats long, at a tempo in quarter notes a minute."""

        def within(onsets: Sequence[int]) -> slice:
            return slice(bisect_left(onsets, start), bisect_left(onsets, end))

        quarters = max((end - start) / TICKS_PER_QUARTER, 1e-9)
        return cls(
            right.moments[within(right.onsets)],
            left.moments[within(left.onsets)],
            joint.moments[within(joint.onsets)],
            quarters,
            quarters * 60.0 / tempo,
            beats,
        )


def measure(window: Window) -> dict[str, float]:
    """Every cause of a window from 0 to 1, in the order of `CAUSES`; all 0 where nothing is struck."""
    if not window.joint:
        return dict.fromkeys(CAUSES, 0.0)
    return {
        "reach": _reach(window),
        "travel": _travel(window),
        "black_keys": black_keys(window),
        "rhythm": _rhythm(window),
        "coordination": _coordination(window),
        "memory": _memory(window),
        "speed": _speed(window),
    }


def _between(amount: float, low: float, high: float) -> float:
    """How far an amount lies on the way from low to high: 0 up to low, 0.71 at high, towards 1 beyond.

    The curve rises as a straight line at first and flattens later, so that hard music is still told apart.
    """
    way = (amount - low) / (high - low)
    return way / sqrt(1 + way * way) if way > 0 else 0.0


def _mean(*terms: float) -> float:
    return sum(terms) / len(terms)


def _largest(window: Window, of: Callable[[Moment], float]) -> float:
    return max((of(moment) for hand in window.hands for moment in hand), default=0.0)


def _both(window: Window, of: Callable[[Moment], float]) -> float:
    return sum(of(moment) for hand in window.hands for moment in hand)


def _share_of_beats(window: Window, of: Callable[[Moment], bool]) -> float:
    """In how many of the window's beats the busier hand has such a moment, 0..1."""
    beats = max(len({moment.beat for moment in hand if of(moment)}) for hand in window.hands)
    return min(1.0, beats / window.beats)


def jump(semitones: float) -> float:
    """How much of a jump a move is: nothing up to a fourth, half at a fifth, one at an octave and beyond."""
    size = abs(semitones)
    return 0.0 if size < 7 else min(1.0, 0.5 + (size - 7) / 10)


def _reach(window: Window) -> float:
    """Span of a hand 0..12 semitones; range within three quarters 4..19; keys held at once less one 0..2."""
    return _mean(
        _between(_largest(window, lambda moment: moment.span), 0, 12),
        _between(_largest(window, lambda moment: moment.covered), 4, 19),
        _between(_largest(window, lambda moment: moment.held) - 1, 0, 2),
    )


def _travel(window: Window) -> float:
    """Changes of position a second 0..2; semitones of them a second 0..16; jumps a second 0..0.7."""
    return _mean(
        _between(_both(window, lambda moment: moment.shift != 0) / window.seconds, 0, 2),
        _between(_both(window, lambda moment: abs(moment.shift)) / window.seconds, 0, 16),
        _between(_both(window, lambda moment: jump(moment.leap)) / window.seconds, 0, 0.7),
    )


def black_keys(window: Window, blacks: int = BLACK_SCALE) -> float:
    """Share of beats with a black key 0..0.8; with a change of colour 0..0.8; different black keys 0..4.

    Args:
        window: the window.
        blacks: which of the twelve notes lie on black keys, from `blacks_after` for a window moved to another key.
    """
    distinct = _scale(window) & blacks
    return _mean(
        _between(_share_of_beats(window, lambda moment: moment.strikes_black(blacks)), 0, 0.8),
        _between(_share_of_beats(window, lambda moment: moment.recoloured(blacks)), 0, 0.8),
        _between(distinct.bit_count(), 0, 4),
    )


def _scale(window: Window) -> int:
    """Which of the twelve notes are struck, C as bit 0."""
    return reduce(or_, (moment.scale for hand in window.hands for moment in hand), 0)


def shortest_wait(moments: Sequence[JointMoment]) -> tuple[float, int]:
    """The shortest time between two moments in quarters, and the tick of the second; infinite for under two."""
    waits = [((after.onset - before.onset) / TICKS_PER_QUARTER, after.onset) for before, after in pairwise(moments)]
    return min(waits, default=(float("inf"), moments[0].onset))


def _rhythm(window: Window) -> float:
    """Shortest time between onsets, -log2 of quarters -1.5..2; beats with onsets between 0..1; carried over 0..0.4."""
    shortest, _ = shortest_wait(window.joint)
    return _mean(
        _between(-log2(shortest), -1.5, 2),
        _between(_share_of_beats(window, lambda moment: moment.off_beat), 0, 1),
        _between(_share_of_beats(window, lambda moment: moment.carried), 0, 0.4),
    )


def _coordination(window: Window) -> float:
    """Moments at which hands or voices go their own ways, a quarter 0..1.6; turns 0..0.8; contrary moves 0..0.5."""
    turns = len(window.joint) - max(len(window.right), len(window.left))
    return _mean(
        _between(sum(map(_independent, window.joint)) / window.quarters, 0, 1.6),
        _between(turns / window.quarters, 0, 0.8),
        _between(sum(moment.motion == -1 for moment in window.joint) / window.quarters, 0, 0.5),
    )


def _independent(moment: JointMoment) -> bool:
    """Whether a strike is over the other hand's held note or the same hand's, or not parallel with the other hand's."""
    if moment.over_held or (moment.motion is not None and moment.motion < 1):
        return True
    return any(hand is not None and hand.held > len(hand.keys) for hand in (moment.right, moment.left))


def _memory(window: Window) -> float:
    """New phrases of what lies under both hands, z log2 z a quarter 0.5..8; different grips a whole note 1..8.

    The third term is how many of the twelve notes occur 4..10: what leaves its scale is harder to keep in mind.
    z is the number of phrases of the Lempel-Ziv parsing of 1978: each is the shortest that has not come before.
    """
    states = [moment.state for moment in window.joint]
    phrases = _new_phrases(states)
    return _mean(
        _between(phrases * log2(phrases) / window.quarters, 0.5, 8),
        _between(4 * len(set(states)) / window.quarters, 1, 8),
        _between(_scale(window).bit_count(), 4, 10),
    )


def _new_phrases(states: Sequence[object]) -> int:
    known: dict[tuple[int, object], int] = {}
    phrase, count = 0, 0
    for state in states:
        following = known.get((phrase, state))
        if following is None:
            count += 1
            known[(phrase, state)] = count
            phrase = 0
        else:
            phrase = following
    return count + (phrase != 0)


def _speed(window: Window) -> float:
    """Moments a second 0.5..5.5; notes a second 1..10; one over the shortest wait in seconds 0.5..6."""
    shortest, _ = shortest_wait(window.joint)
    return _mean(
        _between(len(window.joint) / window.seconds, 0.5, 5.5),
        _between(_both(window, lambda moment: moment.notes) / window.seconds, 1, 10),
        _between(window.quarters / window.seconds / shortest, 0.5, 6),
    )

"""Tempo, and the map from score time to seconds.

Tempo is counted in quarter notes a minute throughout, also in compound metres, so that one number means one
thing everywhere; screens show dotted beats where a player counts them.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from core.song.errors import DomainError
from core.song.time import TICKS_PER_QUARTER
from core.song.wording import say

DEFAULT_TEMPO: Final = 100.0
"""Quarter notes a minute where a source states no tempo."""
SLOWEST_TEMPO: Final = 5.0
FASTEST_TEMPO: Final = 600.0


class TempoChange(Struct, frozen=True):
    """A tempo from a moment of the song on.

    Attributes:
        onset: ticks from the song's start, 0 or more.
        bpm: quarter notes a minute, 5 … 600.
        given: False where the source stated none.
    """

    onset: int
    bpm: float
    given: bool = True

    def __post_init__(self) -> None:
        if not SLOWEST_TEMPO <= self.bpm <= FASTEST_TEMPO:
            raise DomainError(say("a tempo"), self.bpm, say("from 5 to 600 quarter notes a minute"))


def seconds_between(changes: Sequence[TempoChange], start: int, end: int, speed: float = 1.0) -> float:
    """Seconds from one moment of the score to a later one.

    Args:
        changes: tempo changes in order, the first at 0.
        start: ticks.
        end: ticks, not before `start`.
        speed: 1.0 as written, 0.5 half as fast.
    """
    if end <= start:
        return 0.0
    index = max(0, bisect_right(changes, start, key=lambda change: change.onset) - 1)
    seconds, here = 0.0, start
    while here < end:
        until = changes[index + 1].onset if index + 1 < len(changes) else end
        until = min(until, end)
        seconds += (until - here) * 60.0 / (changes[index].bpm * TICKS_PER_QUARTER)
        here, index = until, index + 1
    return seconds / speed

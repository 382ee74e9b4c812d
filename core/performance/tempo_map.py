"""From score time to seconds and back, with the sums over tempo changes made once."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

from msgspec import Struct

from core.song.tempo import TempoChange
from core.song.time import TICKS_PER_QUARTER


class TempoMap(Struct, frozen=True):
    """Seconds at every moment of the written song.

    Attributes:
        onsets: ticks at which the tempo changes, the first 0.
        seconds_at_onsets: seconds from the song's start to each of them.
        seconds_per_tick: length of a tick from each of them on.
    """

    onsets: tuple[int, ...]
    seconds_at_onsets: tuple[float, ...]
    seconds_per_tick: tuple[float, ...]

    @classmethod
    def of(cls, changes: Sequence[TempoChange], speed: float = 1.0) -> TempoMap:
        """The map of tempo changes, the first at 0, played at `speed` (1.0 as written, 0.5 half as fast)."""
        lengths = tuple(60.0 / (change.bpm * speed * TICKS_PER_QUARTER) for change in changes)
        sums = [0.0]
        for index in range(1, len(changes)):
            sums.append(sums[-1] + (changes[index].onset - changes[index - 1].onset) * lengths[index - 1])
        return cls(tuple(change.onset for change in changes), tuple(sums), lengths)

    def seconds(self, tick: int) -> float:
        """Seconds from the song's start to a moment; past the last tempo change that tempo goes on."""
        index = max(0, bisect_right(self.onsets, tick) - 1)
        return self.seconds_at_onsets[index] + (tick - self.onsets[index]) * self.seconds_per_tick[index]

    def between(self, start: int, end: int) -> float:
        """Seconds from one moment to a later one (negative the other way round)."""
        return self.seconds(end) - self.seconds(start)

    def changes_inside(self, start: int, end: int) -> tuple[int, ...]:
        """Ticks after `start` and before `end` at which the tempo changes."""
        return tuple(onset for onset in self.onsets if start < onset < end)

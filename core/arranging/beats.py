"""A bar as the hand feels it: beats in two halves or in three thirds.

Odd counts of eighths are felt in groups of two with a three at the end, 5/8 with the three first (common practice).
"""

from __future__ import annotations

from functools import lru_cache

from msgspec import Struct

from core.song.metre import Bar, Metre

SHORT_UNIT = 8


class Beat(Struct, frozen=True):
    """A felt beat: where it begins in ticks, how long it is, and whether it falls into thirds."""

    onset: int
    duration: int
    compound: bool

    @property
    def end(self) -> int:
        """Tick at which the next beat begins."""
        return self.onset + self.duration


@lru_cache(maxsize=256)
def beats_of(metre: Metre) -> tuple[Beat, ...]:
    """The felt beats of a whole bar, from its bar line."""
    if metre.is_compound:
        lengths = [3] * (metre.count // 3)
    elif metre.unit >= SHORT_UNIT and metre.count == 5:
        lengths = [3, 2]
    elif metre.unit >= SHORT_UNIT and metre.count > 1:
        lengths = [2] * (metre.count // 2)
        lengths[-1] += metre.count % 2
    else:
        return tuple(Beat(place * metre.unit_ticks, metre.unit_ticks, False) for place in range(metre.count))
    beats: list[Beat] = []
    onset = 0
    for length in lengths:
        beats.append(Beat(onset, length * metre.unit_ticks, length == 3))
        onset += length * metre.unit_ticks
    return tuple(beats)


def beats_in(bar: Bar) -> tuple[Beat, ...]:
    """The felt beats of a bar of a song; a pick-up's are the last ones before the bar line after it."""
    start = bar_line(bar)
    return tuple(
        Beat(start + beat.onset, beat.duration, beat.compound)
        for beat in beats_of(bar.metre)
        if start + beat.end > bar.onset and start + beat.onset < bar.end
    )


def bar_line(bar: Bar) -> int:
    """Where a bar is counted from, in ticks: before its first note for a pick-up."""
    return bar.end - bar.metre.bar_ticks if bar.number == 0 else bar.onset

"""The felt beats of a song, for counting in and for the metronome."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from core.song.metre import Bar, bar_at
from core.song.song import Song


class Beat(Struct, frozen=True):
    """A felt beat.

    Attributes:
        onset: ticks from the song's start; negative for a beat that is counted before it.
        accented: whether it is the first of a bar.
        between: whether it is a division of a beat and no beat itself.
    """

    onset: int
    accented: bool
    between: bool = False


def beats_between(song: Song, start: int, end: int, subdivisions: int = 1) -> tuple[Beat, ...]:
    """The beats from one moment of the written song to a later one, the later one not included.

    With `subdivisions` each beat is divided into so many, 1 … 4, a pick-up's first one also before its first beat.
    """
    beats = (beat for bar in song.bars for beat in _divided(bar, subdivisions))
    return tuple(beat for beat in beats if start <= beat.onset < end)


def count_in_beats(song: Song, start: int, bars: int = 1) -> tuple[Beat, ...]:
    """The beats of some bars' count before a moment of the written song, in order.

    A bar counts as many as the bar at that moment has. They keep its beats: before a pick-up of one beat in 4/4
    the count is *four, one, two, three*, its second beat accented, and the pick-up falls on four; before music
    that starts between two beats the last click is less than a beat away.
    """
    bar = bar_at(song.bars, start)
    metre = bar.metre
    downbeat = bar.end if bar.number == 0 else bar.onset
    last_before = (start - 1 - downbeat) // metre.beat_ticks
    return tuple(
        Beat(downbeat + number * metre.beat_ticks, number % metre.beats == 0)
        for number in range(last_before - bars * metre.beats + 1, last_before + 1)
    )


def _divided(bar: Bar, subdivisions: int) -> Iterator[Beat]:
    step = bar.metre.beat_ticks // subdivisions
    if bar.number == 0:
        for onset in range(bar.onset + bar.duration % bar.metre.beat_ticks - step, bar.onset - 1, -step):
            yield Beat(onset, accented=False, between=True)
    for beat in _beats_of(bar):
        yield beat
        for number in range(1, subdivisions):
            if beat.onset + number * step < bar.end:
                yield Beat(beat.onset + number * step, accented=False, between=True)


def _beats_of(bar: Bar) -> Iterator[Beat]:
    if bar.number == 0:  # a pick-up is the end of a bar: its beats are counted back from the bar line
        first = bar.duration % bar.metre.beat_ticks
        for onset in range(first, bar.duration, bar.metre.beat_ticks):
            yield Beat(bar.onset + onset, accented=False)
        return
    for onset in range(0, bar.duration, bar.metre.beat_ticks):
        yield Beat(bar.onset + onset, accented=onset == 0)

"""A moment of a song in words."""

from __future__ import annotations

from core.song.metre import bar_at
from core.song.song import Song
from core.song.wording import say


def moment_words(song: Song, tick: int) -> str:
    """A moment of a song, in ticks from its start: ``bar 3, beat 2``, or the pick-up."""
    bar = bar_at(song.bars, tick)
    beat = (tick - bar.onset) // bar.metre.beat_ticks + 1
    return say("bar {bar}, beat {beat}", bar=bar.number, beat=beat) if bar.number else say("the pick-up")

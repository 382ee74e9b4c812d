"""Adding a chord."""

from __future__ import annotations

from msgspec.structs import replace

from core.edits.part_contents import the_part, with_chords
from core.song.chord import Chord, ChordSymbol
from core.song.errors import EditError
from core.song.song import Song
from core.song.wording import say


def add_chord(song: Song, number: int, onset: int, duration: int, symbol: ChordSymbol) -> Song:
    """Add a chord to a part.

    A chord it begins inside ends there; the new one ends at the latest where the next one begins or the part ends.

    Args:
        song: the song before.
        number: part number from 1.
        onset: ticks from the part's start.
        duration: ticks, more than 0.
        symbol: what it is.

    Raises:
        EditError: for a moment outside the part, or one where a chord already begins.
    """
    part = the_part(song, number)
    if not 0 <= onset < part.duration or duration <= 0:
        raise EditError(say("A chord must begin inside its part; part {number} has no such moment.", number=number))
    if any(chord.onset == onset for chord in part.chords):
        raise EditError(say("There is already a chord at that moment; rename it instead."))
    end = min([onset + duration, part.duration, *(chord.onset for chord in part.chords if chord.onset > onset)])
    before = [
        replace(chord, duration=min(chord.end, onset) - chord.onset) for chord in part.chords if chord.onset < onset
    ]
    behind = [chord for chord in part.chords if chord.onset > onset]
    return with_chords(song, number, [*before, Chord(onset, end - onset, symbol), *behind])

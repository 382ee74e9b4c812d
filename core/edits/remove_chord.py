"""Removing a chord."""

from __future__ import annotations

from msgspec.structs import replace

from core.edits.part_contents import the_chord, the_part, with_chords
from core.song.song import Song


def remove_chord(song: Song, number: int, index: int) -> Song:
    """Remove a chord of a part; the chord before it, if it reaches there, is held on in its place.

    Raises:
        EditError: for a chord that is not there.
    """
    chord = the_chord(song, number, index)
    chords = list(the_part(song, number).chords)
    del chords[index]
    if index and chords[index - 1].end == chord.onset:
        chords[index - 1] = replace(chords[index - 1], duration=chord.end - chords[index - 1].onset)
    return with_chords(song, number, chords)

"""Chords for a tune whose source names none: suggested from its melody, and said to be so."""

from __future__ import annotations

from typing import Final

from core.formats.chords_told import with_computed_chords
from core.formats.reading import Reading
from core.song.wording import say, to_say
from core.theory.harmonising import suggest_chords

SUGGESTED: Final = to_say("Chords were suggested from the melody; check them.")


def with_suggested_chords(reading: Reading) -> Reading:
    """A reading with chords, where its source names none and there is a melody alone; else the reading as it is."""
    song = reading.song
    alone = all(note.melody or note.is_grace for part in song.parts for note in part.notes)
    if not alone or any(part.chords for part in song.parts):
        return reading
    chords = suggest_chords(song)
    return with_computed_chords(reading, chords, say(SUGGESTED)) if chords else reading

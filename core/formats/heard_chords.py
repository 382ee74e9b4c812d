"""Chords for an arrangement whose source names none: read from what its two hands play."""

from __future__ import annotations

from typing import Final

from core.formats.chords_told import with_computed_chords
from core.formats.reading import Reading
from core.song.wording import say, to_say
from core.theory.chords_heard import chords_heard

READ_FROM_NOTES: Final = to_say("The source names no chords; they were read from the notes of both hands: check them.")


def with_heard_chords(reading: Reading) -> Reading:
    """A reading with chords, where its source names none and both hands play; else the reading as it is."""
    song = reading.song
    if any(part.chords for part in song.parts) or not song.has_written_left_hand:
        return reading
    notes = [(onset, note.duration, note.pitch.midi) for onset, note in song.placed_notes()]
    heard = chords_heard(notes, song.bars, song.key)
    return with_computed_chords(reading, heard, say(READ_FROM_NOTES)) if heard else reading

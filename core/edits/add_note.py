"""Adding a note to the melody."""

from __future__ import annotations

from core.edits.part_contents import one_line, the_part, with_line
from core.song.errors import EditError
from core.song.note import Hand, Note
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.wording import say


def add_note(song: Song, number: int, onset: int, duration: int, pitch: Pitch) -> Song:
    """Add a right-hand melody note to a part.

    A note it begins inside is shortened, and it ends where the next one begins, in its own part or a later one.

    Args:
        song: the song before.
        number: part number from 1.
        onset: ticks from the part's start.
        duration: ticks, more than 0.
        pitch: the spelled pitch.

    Raises:
        EditError: for a moment outside the part, one where a note already begins, or a length of nothing.
    """
    part = the_part(song, number)
    if not 0 <= onset < part.duration:
        raise EditError(say("A note must begin inside its part; part {number} has no such moment.", number=number))
    if duration <= 0:
        raise EditError(say("A note must have a length."))
    note = Note(onset, duration, pitch, Hand.RIGHT, hand_given=True, melody=True)
    return with_line(song, number, one_line(part.notes, note))

"""Moving a note in time, in pitch, or both."""

from __future__ import annotations

from msgspec.structs import replace

from core.edits.part_contents import one_line, the_note, the_part, with_line
from core.song.errors import EditError
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.wording import say


def move_note(song: Song, number: int, index: int, onset: int | None = None, pitch: Pitch | None = None) -> Song:
    """Move a note of a part.

    The note keeps its length unless another melody note begins inside it; a note it now begins inside is
    shortened, so that the melody stays one line.

    Args:
        song: the song before.
        number: part number from 1.
        index: index of the note in the part's notes.
        onset: ticks from the part's start, or None to leave it.
        pitch: the new pitch, or None to leave it.

    Raises:
        EditError: for a note that is not there, a moment outside the part, or one where a note already begins.
    """
    note = the_note(song, number, index)
    part = the_part(song, number)
    onset = note.onset if onset is None else onset
    pitch = pitch or note.pitch
    if not 0 <= onset < part.duration:
        raise EditError(say("A note must begin inside its part; part {number} has no such moment.", number=number))
    if (onset, pitch) == (note.onset, note.pitch):
        return song
    finger = note.finger if pitch.midi == note.pitch.midi else None
    moved = replace(note, onset=onset, pitch=pitch, finger=finger)
    others = [other for place, other in enumerate(part.notes) if place != index]
    if not note.melody or onset == note.onset:
        return with_line(song, number, [*others, moved])
    return with_line(song, number, one_line(others, moved))

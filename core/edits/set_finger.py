"""Setting a finger of the teacher's own."""

from __future__ import annotations

from msgspec.structs import replace

from core.edits.part_contents import the_note, the_part
from core.song.errors import EditError
from core.song.song import Song
from core.song.wording import say


def set_finger(song: Song, number: int, index: int, finger: int | None) -> Song:
    """Give a note a finger of the teacher's own, or None to have it computed again.

    Args:
        song: the song before.
        number: part number from 1.
        index: index of the note in the part's notes.
        finger: 1 (thumb) … 5 (little finger), or None.

    Raises:
        EditError: for a note that is not there, or no such finger.
    """
    note = the_note(song, number, index)
    if finger is not None and not 1 <= finger <= 5:
        raise EditError(say("There is no finger {finger}; fingers are 1 (thumb) to 5 (little finger).", finger=finger))
    if finger == note.finger:
        return song
    part = the_part(song, number)
    notes = (*part.notes[:index], replace(note, finger=finger), *part.notes[index + 1 :])
    return song.with_part(number, replace(part, notes=notes))

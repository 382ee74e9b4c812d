"""Removing a note."""

from __future__ import annotations

from core.edits.part_contents import the_note, the_part, with_notes
from core.song.song import Song


def remove_note(song: Song, number: int, index: int) -> Song:
    """Remove a note of a part; what was under it is silence.

    Raises:
        EditError: for a note that is not there.
    """
    the_note(song, number, index)
    notes = the_part(song, number).notes
    return with_notes(song, number, [*notes[:index], *notes[index + 1 :]])

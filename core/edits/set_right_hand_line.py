"""Typing a part's right hand."""

from __future__ import annotations

from core.edits.note_text import read_line, write_line
from core.edits.part_contents import the_part, with_line
from core.song.song import Song


def set_right_hand_line(song: Song, number: int, text: str) -> Song:
    """Replace the melody of a part by what a line of text says (`core.edits.note_text` has the rules).

    Everything that is not melody stays; grace notes before a note that stays stay with it.

    Raises:
        EditError: for a part that is not there.
        NoteTextError: with the place, for a line that cannot be read.
    """
    part = the_part(song, number)
    if text.strip() == write_line(song, number):
        return song
    notes = read_line(song, number, text)
    onsets = {note.onset for note in notes}
    kept = [note for note in part.notes if not note.melody or (note.is_grace and note.onset in onsets)]
    after = with_line(song, number, [*kept, *notes])
    return song if after.parts[number - 1].notes == part.notes else after

"""Making a note longer or shorter."""

from __future__ import annotations

from msgspec.structs import replace

from core.edits.part_contents import one_line, the_note, the_part, with_line
from core.song.errors import EditError
from core.song.song import Song
from core.song.wording import say


def resize_note(song: Song, number: int, index: int, duration: int) -> Song:
    """Give a note another length; in the melody it ends at the latest where the next note begins.

    A note may sound past the end of its part, up to the first note of the next one and to the end of the song.

    Args:
        song: the song before.
        number: part number from 1.
        index: index of the note in the part's notes.
        duration: ticks, more than 0.

    Raises:
        EditError: for a note that is not there, or a length of nothing.
    """
    note = the_note(song, number, index)
    if duration <= 0:
        raise EditError(say("A note must have a length; remove it if it is not wanted."))
    if duration == note.duration:
        return song
    longer = replace(note, duration=duration)
    others = [other for place, other in enumerate(the_part(song, number).notes) if place != index]
    after = with_line(song, number, one_line(others, longer) if note.melody else [*others, longer])
    return song if after.parts[number - 1].notes == song.parts[number - 1].notes else after

"""An ornament at a chosen note of the melody."""

from __future__ import annotations

from msgspec.structs import replace

from core.arranging.ornaments import ORNAMENTS, SHORTEST_TURN
from core.edits.part_contents import RIGHT_HAND, TOGETHER, for_review, the_note, the_part
from core.song.errors import EditError
from core.song.note import TURN
from core.song.song import Song
from core.song.wording import say


def set_ornament(song: Song, number: int, index: int, ornament: str) -> Song:
    """Give a melody note an ornament by its name, an empty one for none.

    Args:
        song: the song before.
        number: part number from 1.
        index: index of the note in the part's notes.
        ornament: a name of `core.arranging.ornaments.ORNAMENTS`, or empty.

    Raises:
        EditError: for a note that is not there or no melody note, an unknown ornament, or a turn on a short note.
    """
    note = the_note(song, number, index)
    known = [one.name for one in ORNAMENTS]
    if ornament and ornament not in known:
        raise EditError(
            say("There is no ornament “{ornament}”; choose one of {known}.", ornament=ornament, known=", ".join(known))
        )
    if ornament == note.ornament:
        return song
    if ornament and (not note.melody or note.is_grace):
        raise EditError(say("Ornaments are for notes of the melody; select one of them."))
    if ornament == TURN and note.duration < SHORTEST_TURN:
        raise EditError(
            say("A note shorter than a quarter has no time for a turn; make it longer, or choose a grace note.")
        )
    part = the_part(song, number)
    notes = (*part.notes[:index], replace(note, ornament=ornament), *part.notes[index + 1 :])
    teaching = for_review(part.teaching, (RIGHT_HAND, TOGETHER))
    return song.with_part(number, replace(part, notes=notes, teaching=teaching))

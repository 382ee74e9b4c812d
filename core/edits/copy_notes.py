"""Copying notes: taking a phrase, putting it in somewhere else, repeating it behind itself."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from core.edits.chosen_notes import Chosen, placed, put_in, without
from core.song.errors import EditError
from core.song.note import Note
from core.song.song import Song


class Phrase(Struct, frozen=True):
    """Notes that were copied.

    Attributes:
        notes: each with its onset in ticks from the phrase's start, in order.
        duration: ticks from the first note's beginning to the last one's end, more than 0.
    """

    notes: tuple[tuple[int, Note], ...]
    duration: int


def phrase_of(song: Song, chosen: Chosen) -> Phrase:
    """The chosen notes as a phrase that can be put in elsewhere.

    Raises:
        EditError: for a note that is not there, or where nothing is chosen.
    """
    found = placed(song, chosen)
    start = found[0][0]
    end = max(tick + note.duration for tick, note in found)
    return Phrase(tuple((tick - start, replace(note, onset=0)) for tick, note in found), max(1, end - start))


def put_phrase(song: Song, tick: int, phrase: Phrase) -> Song:
    """Put a phrase in, in place of the melody that begins under it.

    Args:
        song: the song before.
        tick: where it begins, in ticks from the song's start.
        phrase: what was copied, here or in another song.

    Raises:
        EditError: where not all of it would begin inside the song.
    """
    end = tick + phrase.duration
    under = tuple(
        (number, index)
        for number, (start, part) in enumerate(zip(song.part_onsets, song.parts, strict=True), 1)
        for index, note in enumerate(part.notes)
        if note.melody and tick <= start + note.onset < end
    )
    if not tick >= 0 or tick + max(offset for offset, _ in phrase.notes) >= song.length:
        raise EditError("There is no room for all of these notes; add a bar first, or take fewer of them.")
    after = without(song, under) if under else song
    for offset, note in phrase.notes:
        after = put_in(after, tick + offset, note)
    return after


def repeat_notes(song: Song, chosen: Chosen) -> Song:
    """Repeat notes right behind themselves, in place of the melody that is there.

    Raises:
        EditError: for a note that is not there, or where there is no room before the song's end.
    """
    phrase = phrase_of(song, chosen)
    return put_phrase(song, placed(song, chosen)[0][0] + phrase.duration, phrase)

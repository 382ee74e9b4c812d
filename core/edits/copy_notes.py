"""Copying notes: taking a phrase, putting it in somewhere else, repeating it behind itself."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from core.edits.chosen_notes import Chosen, placed, put_in, without
from core.edits.part_contents import with_line
from core.song.errors import EditError
from core.song.note import Note
from core.song.song import Song
from core.song.wording import say, say_counted


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
        raise EditError(say("There is no room for all of these notes; add a bar first, or take fewer of them."))
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


def push_phrase(song: Song, tick: int, phrase: Phrase) -> Song:
    """Put a phrase in and move the melody that comes behind it in its part later by as much.

    Chords, written left-hand notes and other parts stay where they are. A melody note that sounds at the moment ends
    there.

    Args:
        song: the song before.
        tick: where it begins, in ticks from the song's start.
        phrase: what was copied, here or in another song.

    Raises:
        EditError: where the moment lies outside the song, or the part ends before what would be in it.
    """
    if not 0 <= tick < song.length:
        raise EditError(say("There is no room behind the song's last note; add a bar at its end first."))
    number = song.part_at(tick)
    part, at = song.part(number), tick - song.part_onsets[number - 1]
    notes = [replace(note, onset=at + offset) for offset, note in phrase.notes]
    end = at + phrase.duration
    for note in part.notes:
        if not note.melody or note.end <= at:
            notes.append(note)
        elif note.onset < at:
            notes.append(replace(note, duration=at - note.onset))
        else:
            moved = replace(note, onset=note.onset + phrase.duration)
            end = max(end, moved.end - max(0, note.end - part.duration))
            notes.append(moved)
    if end > part.duration:
        beats = -(-(end - part.duration) // song.metre_at(tick).beat_ticks)
        raise EditError(
            say_counted(
                "Part {number} ends too soon to move its later notes on: a beat is missing; "
                "add a bar at its end first, or put these notes in place of what is there.",
                "Part {number} ends too soon to move its later notes on: {count} beats are missing; "
                "add a bar at its end first, or put these notes in place of what is there.",
                beats,
                number=number,
            )
        )
    return with_line(song, number, notes)


def push_repeat(song: Song, chosen: Chosen) -> Song:
    """Repeat notes right behind themselves and move the melody that comes behind them in its part later.

    Raises:
        EditError: for a note that is not there, or where there is no room before the part's end.
    """
    phrase = phrase_of(song, chosen)
    return push_phrase(song, placed(song, chosen)[0][0] + phrase.duration, phrase)

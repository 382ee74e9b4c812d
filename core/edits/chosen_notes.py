"""What every edit of several notes shares: which notes are meant, and taking them out of a song and putting them in."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from msgspec.structs import replace

from core.edits.part_contents import one_line, the_note, the_part, with_line, with_notes
from core.song.errors import DomainError, EditError
from core.song.note import Note
from core.song.pitch import HIGHEST_PIANO_KEY, LOWEST_PIANO_KEY
from core.song.song import Song
from core.song.wording import say, to_say
from core.theory.scale_steps import SEMITONES_IN_OCTAVE, semitone_away, step_in_key

Chosen = tuple[tuple[int, int], ...]
"""Notes by the number of their part, from 1, and their index in the part's notes."""
OFF_THE_KEYBOARD: Final = to_say("That would take notes off the keyboard.")


def by_part(song: Song, chosen: Iterable[tuple[int, int]]) -> dict[int, frozenset[int]]:
    """The indices of the chosen notes by part, in the song's order.

    Raises:
        EditError: for a note that is not there, or where nothing is chosen.
    """
    found: dict[int, set[int]] = {}
    for number, index in sorted(chosen):
        the_note(song, number, index)
        found.setdefault(number, set()).add(index)
    if not found:
        raise EditError(say("No notes are selected; select some first."))
    return {number: frozenset(indices) for number, indices in found.items()}


def placed(song: Song, chosen: Iterable[tuple[int, int]]) -> tuple[tuple[int, Note], ...]:
    """The chosen notes with their onsets in ticks from the song's start, in the song's order."""
    return tuple(
        (song.part_onsets[number - 1] + song.parts[number - 1].notes[index].onset, song.parts[number - 1].notes[index])
        for number, indices in by_part(song, chosen).items()
        for index in sorted(indices)
    )


def without(song: Song, chosen: Iterable[tuple[int, int]]) -> Song:
    """The song without the chosen notes."""
    for number, indices in by_part(song, chosen).items():
        notes = the_part(song, number).notes
        song = with_notes(song, number, [note for index, note in enumerate(notes) if index not in indices])
    return song


def put_in(song: Song, tick: int, note: Note) -> Song:
    """The song with a note at a moment, counted from the song's start; a melody note joins the melody's one line.

    Raises:
        EditError: for a moment outside the song, or one where a melody note already begins.
    """
    if not 0 <= tick < song.length:
        raise EditError(say("These notes would not all begin inside the song; add a bar first, or take fewer of them."))
    number = song.part_at(tick)
    note = replace(note, onset=tick - song.part_onsets[number - 1])
    notes = the_part(song, number).notes
    return with_line(song, number, one_line(notes, note) if note.melody else [*notes, note])


def raised(song: Song, tick: int, note: Note, steps: int, semitones: int) -> Note:
    """A note some scale steps and semitones higher (negative: lower), in the key at a moment of the song.

    The teacher's own finger is kept where the hand moves by whole octaves, and dropped otherwise.

    Raises:
        EditError: where it would leave the keyboard.
    """
    key = song.key_at(tick)
    try:
        pitch = semitone_away(step_in_key(note.pitch, steps, key), semitones, key)
    except DomainError as error:
        raise EditError(say(OFF_THE_KEYBOARD)) from error
    if pitch.midi > max(HIGHEST_PIANO_KEY, note.pitch.midi) or pitch.midi < min(LOWEST_PIANO_KEY, note.pitch.midi):
        raise EditError(say(OFF_THE_KEYBOARD))
    by_octaves = (pitch.midi - note.pitch.midi) % SEMITONES_IN_OCTAVE == 0
    return replace(note, pitch=pitch, finger=note.finger if by_octaves else None)

"""Giving a note another name."""

from __future__ import annotations

from msgspec.structs import replace

from core.edits.part_contents import the_note, the_part, with_notes
from core.song.errors import DomainError, EditError
from core.song.pitch import NoteName, Pitch
from core.song.song import Song
from core.song.wording import say


def nearest(name: NoteName, to: Pitch) -> Pitch:
    """The pitch of a name nearest to another pitch; of two as near, the lower.

    Raises:
        EditError: where no such pitch lies on any keyboard.
    """
    candidates: list[Pitch] = []
    for octave in range(to.octave - 1, to.octave + 2):
        try:
            candidates.append(Pitch.of(name, octave))
        except DomainError:
            continue
    if not candidates:
        raise EditError(say("There is no {name} near {pitch}; choose another name.", name=name.spoken, pitch=to.plain))
    return min(candidates, key=lambda pitch: (abs(pitch.midi - to.midi), pitch.midi))


def rename_note(song: Song, number: int, index: int, name: NoteName | Pitch) -> Song:
    """Give a note of a part another name.

    Args:
        song: the song before.
        number: part number from 1.
        index: index of the note in the part's notes.
        name: a name, placed in the octave nearest to the note as it was, or a pitch.

    Raises:
        EditError: for a note that is not there.
    """
    note = the_note(song, number, index)
    pitch = name if isinstance(name, Pitch) else nearest(name, note.pitch)
    if pitch == note.pitch:
        return song
    finger = note.finger if pitch.midi == note.pitch.midi else None
    notes = list(the_part(song, number).notes)
    notes[index] = replace(note, pitch=pitch, finger=finger)
    return with_notes(song, number, notes)

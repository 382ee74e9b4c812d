"""Moving several notes up or down together: by steps of the key, by semitones, by octaves."""

from __future__ import annotations

from core.edits.chosen_notes import Chosen, by_part, raised
from core.edits.part_contents import the_part, with_notes
from core.song.song import Song


def transpose_notes(song: Song, chosen: Chosen, steps: int = 0, semitones: int = 0) -> Song:
    """Move notes up or down and leave everything else where it is.

    Fingers of the teacher's own are kept where the hand only moves by whole octaves, and dropped otherwise.

    Args:
        song: the song before.
        chosen: the notes.
        steps: scale steps up in the key at each note; negative for down.
        semitones: semitones up on top of that; whole octaves keep the notes' names.

    Raises:
        EditError: for a note that is not there, or one that would leave the keyboard.
    """
    found = by_part(song, chosen)
    if not steps and not semitones:
        return song
    for number, indices in found.items():
        notes = list(the_part(song, number).notes)
        for index in indices:
            tick = song.part_onsets[number - 1] + notes[index].onset
            notes[index] = raised(song, tick, notes[index], steps, semitones)
        song = with_notes(song, number, notes)
    return song

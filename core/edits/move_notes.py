"""Moving several notes together, in time, up or down, or both."""

from __future__ import annotations

from core.edits.chosen_notes import Chosen, placed, put_in, raised, without
from core.edits.transpose_notes import transpose_notes
from core.song.song import Song


def move_notes(song: Song, chosen: Chosen, ticks: int, steps: int = 0, semitones: int = 0) -> Song:
    """Move notes later or earlier together, and up or down on the way; they may go into another part.

    A note they now begin inside is shortened, so that the melody stays one line.

    Args:
        song: the song before.
        chosen: the notes.
        ticks: how much later; negative for earlier.
        steps: scale steps up, in the key at each note's old place; negative for down.
        semitones: semitones up on top of that.

    Raises:
        EditError: for a note that is not there, a moment outside the song, one where another note begins, or a note
            that would leave the keyboard.
    """
    if not ticks:
        return transpose_notes(song, chosen, steps=steps, semitones=semitones)
    moved = [(tick, raised(song, tick, note, steps, semitones)) for tick, note in placed(song, chosen)]
    after = without(song, chosen)
    for tick, note in moved:
        after = put_in(after, tick + ticks, note)
    return after

"""Where the left hand takes the chords of a part."""

from __future__ import annotations

from core.song.pitch import Pitch
from core.song.song import Song
from core.theory.voicing import voice

Voicing = tuple[Pitch, ...]


def voicings(song: Song, number: int) -> tuple[Voicing, ...]:
    """The voicing of each chord of a part, in the order of ``part.chords``; empty for 'no chord'.

    Chords stay below the lowest melody note of the part wherever the register allows.
    """
    part = song.part(number)
    lowest = min((note.pitch.midi for note in part.melody), default=None)
    highest = None if lowest is None else lowest - 1
    return voice([chord.symbol for chord in part.chords], song.hands, highest=highest)

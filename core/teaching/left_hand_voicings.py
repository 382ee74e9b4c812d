"""Where the left hand takes the chords of a part."""

from __future__ import annotations

from core.song.part import Part
from core.song.pitch import Pitch
from core.song.song import Song
from core.theory.voicing import voice

Voicing = tuple[Pitch, ...]


def voicings(song: Song, number: int) -> tuple[Voicing, ...]:
    """The voicing of each chord of a part, in the order of ``part.chords``; empty for 'no chord'.

    A chord stays below every melody note that sounds while it does, wherever the register allows.
    """
    part = song.part(number)
    return tuple(
        voice([chord.symbol], song.hands, highest=_below_melody(part, chord.onset, chord.end))[0]
        for chord in part.chords
    )


def _below_melody(part: Part, start: int, end: int) -> int | None:
    """The highest MIDI number below every melody note that sounds between two moments; None without one."""
    lowest = min(
        (note.pitch.midi for note in part.notes if note.melody and note.onset < end and note.end > start),
        default=None,
    )
    return None if lowest is None else lowest - 1

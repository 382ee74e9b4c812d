"""Where the sustain pedal goes down and comes up.

Legato pedalling (common practice): the pedal comes up as a new chord is struck and goes down again at once, so that
no two chords run into one another. A chord that lasts over a bar line is pedalled anew there, and a rest has none.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Final

from msgspec import Struct

from core.song.song import Song
from core.song.wording import to_say

PEDAL_WORDS: Final = to_say("Pedal: up as each chord is struck, and down again at once.")


class PedalMark(Struct, frozen=True):
    """A stretch with the pedal down.

    Attributes:
        down: ticks from the part's start; at a chord's onset or a bar line.
        up: ticks from the part's start, after `down`.
    """

    down: int
    up: int


def pedal_marks(song: Song, number: int) -> tuple[PedalMark, ...]:
    """The pedal for a part, in order and without overlaps; nothing where no chord sounds."""
    start = song.part_onsets[number - 1]
    lines = [bar.onset - start for bar in song.bars]
    marks: list[PedalMark] = []
    for chord in song.part(number).chords:
        if chord.symbol.is_silent:
            continue
        edges = [chord.onset, *(line for line in lines if chord.onset < line < chord.end), chord.end]
        marks.extend(PedalMark(down, up) for down, up in pairwise(edges))
    return tuple(marks)

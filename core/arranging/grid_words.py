"""What a pattern strikes, as a teacher says it: 'root, fifth, octave, fifth, one to each half beat'."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from core.song.pattern_grid import Grid, Stroke
from core.song.wording import say, say_in, to_say
from core.teaching.number_words import beats_words, listed

_ONE: Final = {
    Fraction(1): to_say("{tone} to each beat"),
    Fraction(1, 2): to_say("{tone} to each half beat"),
    Fraction(1, 3): to_say("{tone} to each third of a beat"),
    Fraction(1, 4): to_say("{tone} to each quarter of a beat"),
}
"""What is struck over and over, by its length in beats."""
_SEVERAL: Final = {
    Fraction(1): to_say("{tones}, one to each beat"),
    Fraction(1, 2): to_say("{tones}, one to each half beat"),
    Fraction(1, 3): to_say("{tones}, one to each third of a beat"),
    Fraction(1, 4): to_say("{tones}, one to each quarter of a beat"),
}


def spoken_grids(grids: Sequence[Grid]) -> str:
    """What is struck through grids one after another, without a full stop; a repeated figure is said once."""
    struck: list[tuple[str, Fraction]] = []
    beat = Fraction(0)
    for grid in grids:
        for stroke in grid.strokes:
            onset = beat + Fraction(stroke.cell, grid.division)
            gap = onset - sum((length for _, length in struck), Fraction(0))
            if gap:
                struck.append((_silence(), gap))
            struck.append((_together(stroke), Fraction(stroke.cells, grid.division)))
        beat += grid.beats
    rest = beat - sum((length for _, length in struck), Fraction(0))
    if rest:
        struck.append((_silence(), rest))
    struck = _once(struck)
    lengths = {length for _, length in struck}
    names = [name for name, _ in struck]
    if len(lengths) > 1:
        return ", ".join(_lasting(name, length) for name, length in struck)
    (length,) = lengths
    if len(names) == 1:
        return say(_ONE[length], tone=names[0]) if length in _ONE else _lasting(names[0], length)
    tones = ", ".join(names)
    if length in _SEVERAL:
        return say(_SEVERAL[length], tones=tones)
    return say("{tones}, one for {length}", tones=tones, length=beats_words(length))


def _lasting(tone: str, length: Fraction) -> str:
    return say("{tone} for {length}", tone=tone, length=beats_words(length))


def _silence() -> str:
    return say_in("in a rhythm", "rest")


def _together(stroke: Stroke) -> str:
    return listed([spoken_tone(tone) for tone in stroke.tones])


def spoken_tone(tone: str) -> str:
    """A tone of a pattern's grid as it is said: the letters and figures of `core.song.pattern_grid`."""
    match tone:
        case "R":
            return say_in("tone of a chord", "root")
        case "5":
            return say_in("tone of a chord", "fifth")
        case "8":
            return say_in("tone of a chord", "octave")
        case "10":
            return say_in("tone of a chord", "tenth")
        case "5_":
            return say("the fifth below")
        case "L":
            return say("lowest note")
        case "M":
            return say("middle note")
        case "H":
            return say("highest note")
        case "U":
            return say("upper notes")
    return say_in("tone of a chord", "chord")


def _once(struck: list[tuple[str, Fraction]]) -> list[tuple[str, Fraction]]:
    """The shortest figure that makes the whole when repeated."""
    count = len(struck)
    for size in range(1, count):
        if count % size == 0 and struck == struck[:size] * (count // size):
            return struck[:size]
    return struck

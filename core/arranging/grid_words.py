"""What a pattern strikes, as a teacher says it: 'root, fifth, octave, fifth, one to each half beat'."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from core.song.pattern_grid import Grid, Stroke
from core.teaching.number_words import beats_words, listed

SPOKEN_TONES: Final = {
    "R": "root",
    "5": "fifth",
    "8": "octave",
    "10": "tenth",
    "5_": "the fifth below",
    "L": "lowest note",
    "M": "middle note",
    "H": "highest note",
    "U": "upper notes",
    "C": "chord",
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
                struck.append(("rest", gap))
            struck.append((_together(stroke), Fraction(stroke.cells, grid.division)))
        beat += grid.beats
    rest = beat - sum((length for _, length in struck), Fraction(0))
    if rest:
        struck.append(("rest", rest))
    struck = _once(struck)
    lengths = {length for _, length in struck}
    names = [name for name, _ in struck]
    if len(lengths) > 1:
        return ", ".join(f"{name} for {beats_words(length)}" for name, length in struck)
    (length,) = lengths
    if len(names) == 1:
        return f"{names[0]} {_each(length)}"
    return f"{', '.join(names)}, one {_each(length)}"


def _together(stroke: Stroke) -> str:
    return listed([SPOKEN_TONES[tone] for tone in stroke.tones])


def _each(length: Fraction) -> str:
    """'to each beat', 'to each half beat', 'for two beats'."""
    named = {Fraction(1): "beat", Fraction(1, 2): "half beat", Fraction(1, 3): "third of a beat"}
    named[Fraction(1, 4)] = "quarter of a beat"
    return f"to each {named[length]}" if length in named else f"for {beats_words(length)}"


def _once(struck: list[tuple[str, Fraction]]) -> list[tuple[str, Fraction]]:
    """The shortest figure that makes the whole when repeated."""
    count = len(struck)
    for size in range(1, count):
        if count % size == 0 and struck == struck[:size] * (count // size):
            return struck[:size]
    return struck

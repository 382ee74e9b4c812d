"""Chord symbols as people write them, and as this program writes, shows and says them.

Reading takes the common ways of writing (maj7, M7, Δ; m, min, -; °, dim; ø, m7b5; +, aug; sus, add, no, alt, slash
chords, bracketed or bare alterations) in one pass from left to right, so that a fault has a place. Where a sign has
two uses the common practice of lead sheets is followed: ``C-7`` is minor, ``C7-5`` has a flat fifth, ``C+9`` is
augmented, ``CΔ`` has a major seventh, ``C2`` adds the second, ``Cb5`` is a chord on C flat.
"""

from __future__ import annotations

from core.song.chord import ChordSymbol
from core.theory.chord_reading import read_chord
from core.theory.chord_writing import show_chord, spoken_chord, write_chord

__all__ = ["parse_chord", "show_chord", "spoken_chord", "write_chord"]


def parse_chord(text: str) -> ChordSymbol:
    """Read a chord symbol.

    ``parse_chord(write_chord(symbol)) == symbol`` for every symbol. Raises ChordSymbolError, with the place, for
    text that is no chord symbol, for two chords written as one, and for the German H.
    """
    return read_chord(text)

"""Chords that are named by their work in a key: the Neapolitan, the augmented sixths, the Tristan chord.

W3C MusicXML 4.0 lists them as kinds without tones. Where such a name follows a letter, the letter is taken as the
key's tonic, as music21 takes it: ``CIt+6`` is A♭ C F♯, ``CN6`` is D flat major over F (common practice). The
Tristan chord stands on its letter, with an augmented fourth, sixth and ninth (W3C MusicXML 4.0).
"""

from __future__ import annotations

import re
from typing import Final

from msgspec import Struct

from core.song.chord import ChordSymbol, Degree
from core.song.errors import DomainError
from core.song.pitch import NoteName
from core.theory.chord_building import build_chord
from core.theory.chord_tones import interval_of
from core.theory.intervals import MINOR_SECOND, MINOR_SIXTH, UNISON, Interval, above

_ROOT: Final = Degree(1)
_AUGMENTED_SIXTH: Final = Degree(6, 1)


class _Functional(Struct, frozen=True):
    """From the letter to the root, the degrees over the root, and the degree in the bass."""

    root: Interval
    degrees: tuple[Degree, ...]
    bass: Degree = _ROOT


_CHORDS: Final = {
    "neapolitan": _Functional(MINOR_SECOND, (_ROOT, Degree(3), Degree(5)), Degree(3)),
    "italian": _Functional(MINOR_SIXTH, (_ROOT, Degree(3), _AUGMENTED_SIXTH)),
    "french": _Functional(MINOR_SIXTH, (_ROOT, Degree(3), Degree(4, 1), _AUGMENTED_SIXTH)),
    "german": _Functional(MINOR_SIXTH, (_ROOT, Degree(3), Degree(5), _AUGMENTED_SIXTH)),
    "tristan": _Functional(UNISON, (_ROOT, Degree(4, 1), _AUGMENTED_SIXTH, Degree(9, 1))),
}
_WRITTEN: Final = (
    (re.compile(r"N6?"), "neapolitan"),
    (re.compile(r"It\+?6"), "italian"),
    (re.compile(r"Fr\+?6"), "french"),
    (re.compile(r"(Ger|Gr)\+?6"), "german"),
)


def functional_chord(name: str, tonic: NoteName) -> ChordSymbol | None:
    """The chord with a functional name (``Neapolitan``, ``It+6``, ``Tristan`` …) on a letter.

    None for another name, or where a name would need more than a triple flat or sharp.
    """
    name = next((kind for pattern, kind in _WRITTEN if pattern.fullmatch(name)), name.lower())
    chord = _CHORDS.get(name)
    if chord is None:
        return None
    try:
        root = above(tonic, chord.root)
        return build_chord(root, chord.degrees, above(root, interval_of(chord.bass)))
    except DomainError:
        return None

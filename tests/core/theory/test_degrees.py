from __future__ import annotations

import pytest

from core.song.key import Key
from core.song.pitch import Pitch
from core.theory.chord_symbols import parse_chord
from core.theory.degrees import roman, scale_degree


@pytest.mark.parametrize(
    ("symbol", "key", "numeral"),
    [
        ("C", "C major", "I"),
        ("Dm7", "C major", "ii7"),
        ("G7/B", "C major", "V65"),
        ("G7/D", "C major", "V43"),
        ("G7/F", "C major", "V42"),
        ("C/E", "C major", "I6"),
        ("C/G", "C major", "I64"),
        ("Ab", "C major", "♭VI"),
        ("F#dim", "C major", "♯iv°"),
        ("Bdim7", "C minor", "vii°7"),
        ("Bb", "C minor", "VII"),
        ("G7b9", "C minor", "V7(♭9)"),
        ("F#m7b5", "E minor", "iiø7"),
        ("A", "E dorian", "IV"),
        ("D", "E dorian", "VII"),
        ("Cmaj7", "C major", "Imaj7"),
        ("Cmaj7/E", "C major", "Imaj65"),
        ("C6", "C major", "Iadd6"),
        ("D/C", "G major", "V/4"),
        ("Gsus4", "C major", "Vsus4"),
        ("N.C.", "C major", "N.C."),
    ],
)
def test_a_chord_has_its_roman_numeral(symbol: str, key: str, numeral: str) -> None:
    assert roman(parse_chord(symbol), Key.parse(key)) == numeral


@pytest.mark.parametrize(
    ("pitch", "key", "degree"),
    [("E4", "E dorian", "1"), ("C#5", "E dorian", "6"), ("C5", "E dorian", "♭6"), ("G#4", "E minor", "♯3")],
)
def test_a_note_has_its_degree_in_the_keys_own_scale(pitch: str, key: str, degree: str) -> None:
    assert scale_degree(Pitch.parse(pitch), Key.parse(key)) == degree

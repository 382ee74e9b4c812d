"""Chords beside their neighbours: dominants of other chords, other names of the same tones, German names."""

from __future__ import annotations

import pytest

from core.song.key import Key
from core.theory.chord_naming import other_names
from core.theory.chord_symbols import parse_chord, write_chord
from core.theory.degrees import roman_before


@pytest.mark.parametrize(
    ("key", "chord", "after", "numeral"),
    [
        ("C major", "D7", "G", "V7/V"),
        ("C major", "E7", "Am", "V7/vi"),
        ("C major", "A7", "Dm7", "V7/ii"),
        ("C major", "C7", "F", "V7/IV"),
        ("C major", "D7/F#", "G", "V65/V"),
        ("C major", "F#dim7", "G", "vii°7/V"),
        ("C major", "G#dim7", "Am", "vii°7/vi"),
        ("A minor", "B7", "E7", "V7/V"),
        ("C major", "G7", "C", "V7"),
        ("C major", "D7", "C", "II7"),
        ("C major", "Bb", "F", "♭VII"),
        ("C major", "C", "F", "I"),
    ],
)
def test_a_dominant_is_named_after_the_chord_it_leads_to(key: str, chord: str, after: str, numeral: str) -> None:
    assert roman_before(parse_chord(chord), parse_chord(after), Key.parse(key)) == numeral


def test_without_a_chord_that_follows_a_numeral_stands_for_itself() -> None:
    assert roman_before(parse_chord("D7"), None, Key.parse("C major")) == "II7"
    assert roman_before(parse_chord("D7"), parse_chord("N.C."), Key.parse("C major")) == "II7"


@pytest.mark.parametrize(
    ("chord", "others"),
    [
        ("C6", ["Am7/C"]),
        ("Am7", ["C6/A"]),
        ("Am7/C", ["C6"]),
        ("Csus2", ["Gsus4/C"]),
        ("C", []),
        ("G7", []),
        ("Cmaj7", []),
        ("N.C.", []),
    ],
)
def test_other_names_of_the_same_tones_are_listed(chord: str, others: list[str]) -> None:
    found = other_names(parse_chord(chord), Key.parse("C major"))
    assert [write_chord(one.symbol) for one in found] == others
    assert all(one.reason.endswith(".") for one in found)


@pytest.mark.parametrize(("chord", "count"), [("Bdim7", 3), ("Caug", 2)])
def test_symmetrical_chords_have_as_many_roots_as_tones(chord: str, count: int) -> None:
    found = other_names(parse_chord(chord), Key.parse("C major"))
    assert len(found) == count
    assert all("can be the root" in one.reason for one in found)


def test_what_follows_speaks_for_a_name() -> None:
    (other,) = other_names(parse_chord("F6"), Key.parse("C major"), parse_chord("G7"))
    assert write_chord(other.symbol) == "Dm7/F"
    assert "falls a fifth to G" in other.reason


@pytest.mark.parametrize(
    ("german", "english"),
    [
        ("H", "B"), ("Hm7", "Bm7"), ("C/H", "C/B"), ("Es", "Eb"), ("Esm7", "Ebm7"), ("As7", "Ab7"), ("Fism", "F#m"),
        ("Cis", "C#"), ("Des", "Db"), ("Ges7", "Gb7"), ("Asus4", "Asus4"), ("Esus", "Esus4"), ("B", "B"),
        ("Ddim", "Ddim"), ("Cisis", "C##"), ("Hdim", "Bdim"), ("H7/Dis", "B7/D#"),
    ],
)  # fmt: skip  # a table, read line by line
def test_german_names_are_read_where_they_cannot_be_mistaken(german: str, english: str) -> None:
    assert write_chord(parse_chord(german)) == english

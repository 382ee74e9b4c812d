"""Chord symbols of MusicXML: kinds, degrees, bass and inversion, read and written."""

from xml.etree import ElementTree as ET

import pytest

from core.formats.musicxml_chords import kind_and_degrees, read_harmony
from core.song.errors import ChordSymbolError
from core.theory.chord_symbols import parse_chord, write_chord
from core.theory.chord_tones import semitones
from core.theory.musicxml_kinds import KINDS
from tests.helpers.musicxml_text import harmony


def read(root: str, kind: str, inside: str = "", text: str | None = None) -> str:
    return write_chord(read_harmony(ET.fromstring(harmony(root, kind, inside, text))))


def degree(value: int, alter: int, sign: str) -> str:
    return (
        f"<degree><degree-value>{value}</degree-value><degree-alter>{alter}</degree-alter>"
        f"<degree-type>{sign}</degree-type></degree>"
    )


@pytest.mark.parametrize(
    ("kind", "chord"),
    [
        ("major", "C"),
        ("minor-seventh", "Cm7"),
        ("half-diminished", "Cm7b5"),
        ("diminished-seventh", "Cdim7"),
        ("major-minor", "CmMaj7"),
        ("suspended-fourth", "Csus4"),
        ("dominant-13th", "C13"),
        ("power", "C5"),
        ("none", "N.C."),
    ],
)
def test_a_kind_is_a_chord(kind: str, chord: str) -> None:
    assert read("C", kind) == chord


@pytest.mark.parametrize(
    ("kind", "degrees", "chord"),
    [
        ("dominant", degree(9, -1, "add"), "C7b9"),
        ("dominant", degree(9, 1, "alter"), "C7#9"),
        ("dominant", degree(5, -1, "alter"), "C7b5"),
        ("major", degree(9, 0, "add"), "Cadd9"),
        ("major-sixth", degree(9, 0, "add"), "C6/9"),
        ("major", degree(3, 0, "subtract"), "Cno3"),
        ("suspended-fourth", degree(7, 0, "add"), "C7sus4"),
        ("minor", degree(7, 1, "add"), "CmMaj7"),
        ("major", degree(7, 0, "add"), "C7"),
    ],
)
def test_degrees_are_added_altered_and_taken_away(kind: str, degrees: str, chord: str) -> None:
    assert read("C", kind, degrees) == chord


def test_a_bass_makes_a_slash_chord() -> None:
    bass = "<bass><bass-step>B</bass-step><bass-alter>-1</bass-alter></bass>"
    assert read("C", "dominant", bass) == "C7/Bb"


def test_an_inversion_puts_a_chord_tone_in_the_bass() -> None:
    assert read("Eb", "minor", "<inversion>1</inversion>") == "Ebm/Gb"


def test_a_kind_of_other_tones_is_read_by_its_text() -> None:
    assert read("D", "other", text="7#9") == "D7#9"


def test_a_text_that_names_other_tones_than_the_kind_is_not_believed() -> None:
    assert read("D", "minor", text="7") == "Dm"


@pytest.mark.parametrize("kind", ["Neapolitan", "Tristan", "pedal", "other", "nonsense"])
def test_a_kind_that_names_no_tones_is_said_to(kind: str) -> None:
    with pytest.raises(ChordSymbolError):
        read("C", kind)


def test_a_chord_without_a_root_is_said_to() -> None:
    with pytest.raises(ChordSymbolError, match="root"):
        read_harmony(ET.fromstring("<harmony><function>IV</function><kind>major</kind></harmony>"))


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_is_written_as_itself(kind: str) -> None:
    symbol = read_harmony(ET.fromstring(harmony("C", kind)))
    assert kind_and_degrees(symbol)[::2] == (kind, ())


@pytest.mark.parametrize(
    "text", ["C7b5#5b9#9", "Csus2", "C9sus4", "Caug9", "Cm11b5", "C6/9", "Cadd#11", "C7no3", "CmMaj9", "Cdim9"]
)
def test_what_is_written_has_the_same_tones_without_its_text(text: str) -> None:
    symbol = parse_chord(text)
    kind, _, degrees = kind_and_degrees(symbol)
    again = read_harmony(ET.fromstring(harmony("C", kind, "".join(degree(*sign) for sign in degrees))))
    assert sorted(semitones(again)) == sorted(semitones(symbol))

from __future__ import annotations

import pytest
from hypothesis import given, settings

from core.song.chord import NO_CHORD, ChordSymbol
from core.song.errors import ChordSymbolError
from core.song.pitch import NoteName
from core.theory.chord_symbols import parse_chord, write_chord
from core.theory.chord_tones import chord_degrees
from core.theory.musicxml_kinds import KindDegree, from_musicxml_kind, to_musicxml_kind
from tests.core.theory.chord_strategies import chord_symbols

C = NoteName("C")


@settings(max_examples=200)
@given(chord_symbols())
def test_a_chord_written_as_a_kind_is_read_back_as_itself(symbol: ChordSymbol) -> None:
    written = to_musicxml_kind(symbol)
    assert from_musicxml_kind(written.kind, symbol.root, written.degrees, symbol.bass, written.text) == symbol


@settings(max_examples=200)
@given(chord_symbols())
def test_kind_and_degrees_alone_keep_every_tone(symbol: ChordSymbol) -> None:
    written = to_musicxml_kind(symbol)
    read = from_musicxml_kind(written.kind, symbol.root, written.degrees, symbol.bass)
    assert chord_degrees(read) == chord_degrees(symbol)
    assert read.bass == symbol.bass


@pytest.mark.parametrize(
    ("symbol", "kind", "degrees"),
    [
        ("C", "major", ()),
        ("C7", "dominant", ()),
        ("Cø", "half-diminished", ()),
        ("C7b9", "dominant", (KindDegree(9, -1, "add"),)),
        ("C7b5", "dominant", (KindDegree(5, -1, "alter"),)),
        ("C13#11", "dominant-13th", (KindDegree(11, 1, "alter"),)),
        ("Cadd9", "major", (KindDegree(9, 0, "add"),)),
        ("C7sus4", "suspended-fourth", (KindDegree(7, 0, "add"),)),
        ("Cno3", "major", (KindDegree(3, 0, "subtract"),)),
        ("C6/9", "major-sixth", (KindDegree(9, 0, "add"),)),
        ("N.C.", "none", ()),
    ],
)
def test_usual_chords_take_the_usual_kind(symbol: str, kind: str, degrees: tuple[KindDegree, ...]) -> None:
    written = to_musicxml_kind(parse_chord(symbol))
    assert (written.kind, written.degrees) == (kind, degrees)


@pytest.mark.parametrize(
    ("kind", "degrees", "symbol"),
    [
        ("dominant", (KindDegree(9, -1, "alter"),), "C7b9"),
        ("minor-seventh", (KindDegree(5, -1, "alter"),), "Cm7b5"),
        ("major", (KindDegree(7, 0, "add"),), "C7"),
        ("major-seventh", (KindDegree(5, 1, "alter"),), "Cmaj7#5"),
        ("major-seventh", (KindDegree(7, -1, "alter"),), "C7"),
        ("dominant-ninth", (KindDegree(9, -1, "alter"),), "C7b9"),
        ("dominant", (KindDegree(3, 0, "subtract"), KindDegree(4, 0, "add")), "C7sus4"),
        ("other", (KindDegree(3, 0, "add"), KindDegree(5, 0, "add")), "C"),
        ("pedal", (), "C5no5"),
        ("Neapolitan", (), "Db/F"),
        ("German", (), "Ab6#6"),
        ("dominant-seventh", (), "C7"),
    ],
)
def test_degrees_become_the_plainest_name(kind: str, degrees: tuple[KindDegree, ...], symbol: str) -> None:
    assert write_chord(from_musicxml_kind(kind, C, degrees)) == symbol


def test_the_printed_text_decides_between_names_of_the_same_tones() -> None:
    raised = (KindDegree(5, 1, "alter"),)
    assert write_chord(from_musicxml_kind("dominant", C, raised, text="7#5")) == "C7#5"
    assert write_chord(from_musicxml_kind("dominant", C, raised, text="aug7")) == "Caug7"
    assert write_chord(from_musicxml_kind("dominant", C, raised, text="9")) == "Caug7"


def test_an_unknown_kind_is_read_from_its_text() -> None:
    assert write_chord(from_musicxml_kind("other", C, text="7alt")) == "C7alt"
    assert from_musicxml_kind("none", None) == NO_CHORD


@pytest.mark.parametrize(("kind", "degrees"), [("mystery", ()), ("other", ()), ("major", (KindDegree(99, 0, "add"),))])
def test_what_names_no_tones_is_refused(kind: str, degrees: tuple[KindDegree, ...]) -> None:
    with pytest.raises(ChordSymbolError):
        from_musicxml_kind(kind, C, degrees)


def test_a_kind_needs_a_root() -> None:
    with pytest.raises(ChordSymbolError, match="root"):
        from_musicxml_kind("major", None)

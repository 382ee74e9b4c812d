from __future__ import annotations

import pytest
from hypothesis import given, settings

from core.song.chord import NO_CHORD, ChordSymbol, Degree, Quality
from core.song.errors import DomainError
from core.song.pitch import NoteName
from core.theory.chord_building import build_chord
from core.theory.chord_symbols import parse_chord, write_chord
from core.theory.chord_tones import chord_degrees, chord_tones, semitones
from tests.core.theory.chord_strategies import chord_symbols, usual_names


@pytest.mark.parametrize(
    ("symbol", "tones"),
    [
        ("Abm", "A♭ C♭ E♭"),
        ("B", "B D♯ F♯"),
        ("Cdim7", "C E♭ G♭ B𝄫"),
        ("Cbdim7", "C♭ E𝄫 G𝄫 B♭𝄫"),
        ("G#", "G♯ B♯ D♯"),
        ("D#", "D♯ F𝄪 A♯"),
        ("F#m7b5", "F♯ A C E"),
        ("Ebdim7", "E♭ G♭ B𝄫 D𝄫"),
        ("C13", "C E G B♭ D F A"),
        ("C7#9", "C E G B♭ D♯"),
        ("C7alt", "C E G♭ G♯ B♭ D♭ D♯"),
        ("Csus2sus4", "C D F G"),
        ("C6/9", "C E G A D"),
        ("Cadd2", "C D E G"),
        ("C5", "C G"),
        ("Am/G", "A C E"),
        ("Cmaj7no3", "C G B"),
    ],
)
def test_tones_are_spelled_by_theory(symbol: str, tones: str) -> None:
    assert " ".join(name.symbol for name in chord_tones(parse_chord(symbol))) == tones


def test_no_chord_has_no_tones() -> None:
    assert chord_tones(NO_CHORD) == ()
    assert semitones(NO_CHORD) == ()


def test_extensions_are_counted_past_the_octave() -> None:
    assert semitones(parse_chord("C13")) == (0, 4, 7, 10, 14, 17, 21)
    assert semitones(parse_chord("Cadd9")) == (0, 4, 7, 14)
    assert semitones(parse_chord("Cadd2")) == (0, 2, 4, 7)


@settings(max_examples=150)
@given(chord_symbols())
def test_every_chord_has_distinct_names_on_its_semitones(symbol: ChordSymbol) -> None:
    names = chord_tones(symbol)
    assert len(set(names)) == len(names)
    classes = {(symbol.root.pitch_class + height) % 12 for height in semitones(symbol)}
    assert {name.pitch_class for name in names} == classes


@settings(max_examples=150)
@given(chord_symbols(usual_names))
def test_a_chord_built_from_degrees_has_exactly_those(symbol: ChordSymbol) -> None:
    if symbol.is_silent:
        return
    degrees = chord_degrees(symbol)
    assert chord_degrees(build_chord(symbol.root, degrees)) == degrees


@pytest.mark.parametrize(
    "symbol",
    [
        "C",
        "Cm",
        "C5",
        "C7",
        "Cmaj7",
        "Cm7b5",
        "Cdim7",
        "C6/9",
        "C7b9",
        "C7b9b13",
        "Cadd9",
        "C7sus4",
        "C9sus4",
        "C13#11",
        "C9no3",
        "C7alt",
        "CmMaj7",
    ],
)
def test_a_chord_built_from_degrees_takes_the_plain_name(symbol: str) -> None:
    chord = parse_chord(symbol)
    assert write_chord(build_chord(chord.root, chord_degrees(chord))) == symbol


def test_equal_chords_are_equal_objects() -> None:
    c = NoteName("C")
    flat_fifth, sharp_ninth = Degree(5, -1), Degree(9, 1)
    assert ChordSymbol(c, Quality.MINOR, 7, (flat_fifth,)) == ChordSymbol(c, Quality.HALF_DIMINISHED, 7)
    assert ChordSymbol(c, Quality.DOMINANT, 7, (sharp_ninth, flat_fifth)) == ChordSymbol(
        c, Quality.DOMINANT, 7, (flat_fifth, sharp_ninth)
    )
    both = (flat_fifth, Degree(5, 1))
    assert ChordSymbol(c, Quality.MINOR, 7, both) == ChordSymbol(c, Quality.HALF_DIMINISHED, 7, both)
    assert ChordSymbol(c, Quality.HALF_DIMINISHED, 7, both).quality is Quality.MINOR
    assert ChordSymbol(c, bass=c) == ChordSymbol(c)
    assert ChordSymbol(NoteName("G"), Quality.SILENT, bass=c) == NO_CHORD


@pytest.mark.parametrize(
    ("quality", "extension", "alteration"),
    [
        (Quality.DOMINANT, 7, Degree(9, 0)),
        (Quality.DOMINANT, 7, Degree(7, 1)),
        (Quality.DOMINANT, 7, Degree(8, 1)),
        (Quality.POWER, 7, Degree(5, 1)),
    ],
)
def test_degrees_that_make_no_sense_are_refused(quality: Quality, extension: int, alteration: Degree) -> None:
    with pytest.raises(DomainError):
        ChordSymbol(NoteName("C"), quality, extension, (alteration,))

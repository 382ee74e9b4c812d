"""Every exported score against the W3C's MusicXML 4.0 schema (from the package `musicxml` on PyPI)."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest
from hypothesis import HealthCheck, given, settings

from core.formats.musicxml_writer import MusicXmlWriter
from core.song.chord import Chord
from core.song.note import Hand, Note
from core.song.part import Part, in_order
from core.song.pitch import Pitch
from core.song.song import Song
from core.theory.chord_symbols import parse_chord
from tests.helpers.schema import musicxml_schema
from tests.helpers.songs import DEMO_SONGS
from tests.helpers.strategies import chord_symbols, songs

BAR = 40_320


def faults(song: Song) -> list[str]:
    return musicxml_schema().faults(ET.fromstring(MusicXmlWriter().write("song.musicxml", song)))


@pytest.mark.parametrize("name", DEMO_SONGS)
def test_a_demo_song_is_valid(name: str) -> None:
    assert faults(DEMO_SONGS[name]()) == []


@given(songs(with_extras=False))
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_song_is_valid(song: Song) -> None:
    assert faults(song) == []


@given(chord_symbols())
@settings(max_examples=100, deadline=None)
def test_any_chord_symbol_is_valid(symbol: object) -> None:
    chord = Chord(0, BAR, symbol)  # type: ignore[arg-type]  # parametrized values come in as objects
    assert faults(Song("x", (Part(BAR, (Note(0, BAR, Pitch.parse("C5")),), (chord,)),))) == []


@pytest.mark.parametrize(
    "order", [(1, 1, 2, 3), (1, 2, 1, 3), (1, 2, 3, 1), (1, 1, 1, 2, 3), (1, 2, 2, 2, 3), (3, 1, 2)]
)
def test_repeats_endings_and_jumps_are_valid(order: tuple[int, ...]) -> None:
    part = Part(BAR, (Note(0, BAR, Pitch.parse("C5"), finger=3),), (Chord(0, BAR, parse_chord("C7alt/Bb")),))
    assert faults(Song("x", (part, part, part), playing_order=order, composer="N", rights="R")) == []


def test_two_hands_with_graces_and_tuplets_are_valid() -> None:
    right = [Note(index * 3_360, 3_360, Pitch.parse("C#6")) for index in range(6)]
    left = [Note(0, 0, Pitch.parse("B1"), Hand.LEFT), Note(0, 12_600, Pitch.parse("Cb2"), Hand.LEFT, finger=5)]
    assert faults(Song("x", (Part(BAR, in_order([*right, *left])),))) == []


def test_the_check_itself_finds_faults() -> None:
    """A schema check that passed everything would show nothing."""
    score = ET.fromstring(MusicXmlWriter().write("song.musicxml", DEMO_SONGS["night_ferry"]()))
    note = score.find("part/measure/note")
    assert note is not None
    voice = note.find("voice")
    assert voice is not None
    note.remove(voice)
    note.insert(0, voice)
    kind = score.find("part/measure/harmony/kind")
    assert kind is not None
    kind.text = "minorish"
    ET.SubElement(note, "finger")
    note.set("colour", "red")
    found = "\n".join(musicxml_schema().faults(score))
    assert all(word in found for word in ("order", "kind-value", "finger", "colour"))

"""An arrangement that names no chords gets those that sound; what was named stays."""

from __future__ import annotations

from core.formats.heard_chords import READ_FROM_NOTES
from core.formats.registry import read_song, write_song
from core.theory.chord_symbols import write_chord
from tests.helpers.songs import night_ferry

TWO_HANDS = """X:1
T:Two hands
M:4/4
L:1/4
Q:1/4=90
K:C
V:1
c d e g | a g f c | d e d B | c4 |
V:2 clef=bass
[C,E,G,]4 | [F,A,C]4 | [G,B,D]4 | [C,E,G,]4 |
"""


def test_chords_are_read_from_what_both_hands_play() -> None:
    reading = read_song("a.abc", TWO_HANDS.encode())
    assert READ_FROM_NOTES in reading.warnings
    placed = list(reading.song.placed_chords())
    assert [write_chord(chord.symbol) for _, chord in placed if not chord.continued] == ["C", "F", "G", "C"]
    assert not any(chord.given for _, chord in placed)


def test_chords_that_the_source_names_stay_and_count_as_given() -> None:
    reading = read_song("a.musicxml", write_song("a.musicxml", night_ferry()))
    assert READ_FROM_NOTES not in reading.warnings
    assert all(chord.given for _, chord in reading.song.placed_chords())

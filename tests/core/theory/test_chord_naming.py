from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.song.key import Key
from core.song.pitch import Pitch
from core.theory.chord_naming import name_chord
from core.theory.chord_symbols import write_chord


def names(midis: list[int], key: str | None = None, bass: int | None = None) -> list[str]:
    return [write_chord(name.symbol) for name in name_chord(midis, Key.parse(key) if key else None, bass)]


@pytest.mark.parametrize(
    ("midis", "key", "name"),
    [
        ([60, 64, 67], None, "C"),
        ([64, 67, 72], None, "C/E"),
        ([55, 60, 64], None, "C/G"),
        ([57, 60, 64], None, "Am"),
        ([60, 64, 67, 70], None, "C7"),
        ([58, 60, 64, 67], "F major", "C7/Bb"),
        ([60, 63, 66, 70], None, "Cm7b5"),
        ([60, 64, 70], None, "C7"),
        ([60, 65, 67], None, "Csus4"),
        ([60, 67], None, "C5"),
        ([60, 64], None, "C"),
        ([55, 62, 65, 69, 72], "C major", "G9sus4"),
        ([48, 67, 71, 74, 77], "C major", "G7/C"),
        ([60, 64, 67, 74], None, "Cadd9"),
        ([48, 64, 70, 75], None, "C7#9"),
        ([63, 67, 70], "Eb major", "Eb"),
        ([63, 66, 70], "B major", "D#m"),
        ([63, 66, 70], "Db major", "Ebm"),
    ],
)
def test_sounding_notes_get_the_name_a_player_would_give(midis: list[int], key: str | None, name: str) -> None:
    assert names(midis, key)[0] == name


def test_a_sixth_chord_and_a_seventh_chord_of_the_same_tones_are_told_apart_by_the_bass() -> None:
    assert names([60, 64, 67, 69])[:2] == ["C6", "Am7/C"]
    assert names([57, 60, 64, 67])[:2] == ["Am7", "C6/A"]


def test_a_sixth_chord_and_a_seventh_chord_over_another_tone_are_both_listed() -> None:
    first, second = name_chord([64, 67, 69, 72])[:2]
    assert {write_chord(first.symbol), write_chord(second.symbol)} == {"C6/E", "Am7/E"}
    assert first.confidence < 0.7


def test_a_symmetrical_chord_is_decided_by_the_key_and_lists_every_root() -> None:
    tones = [59, 62, 65, 68]
    assert names(tones, "C minor")[0] == "Bdim7"
    assert names(tones, "A minor")[0] == "G#dim7/B"
    assert names(tones, "F# minor")[0] == "E#dim7/B"
    roots = {name.symbol.root.pitch_class for name in name_chord(tones, Key.parse("C minor"))[:4]}
    assert roots == {11, 2, 5, 8}
    assert names([60, 64, 68])[0] == "Caug"


def test_spelled_notes_decide_by_their_spelling() -> None:
    leading = [Pitch.parse(text) for text in ("G#3", "B3", "D4", "F4")]
    flat = [Pitch.parse(text) for text in ("Ab3", "B3", "D4", "F4")]
    assert write_chord(name_chord(leading)[0].symbol) == "G#dim7"
    assert write_chord(name_chord(flat)[0].symbol) == "Bdim7/Ab"
    sharp = [Pitch.parse(text) for text in ("D#4", "F#4", "A#4")]
    assert write_chord(name_chord(sharp)[0].symbol) == "D#m"


def test_a_bass_below_can_be_given_apart() -> None:
    assert names([60, 64, 67], bass=53)[0] == "C/F"
    assert names([60, 64, 67], bass=52)[0] == "C/E"


def test_one_tone_has_no_name() -> None:
    assert name_chord([]) == ()
    assert name_chord([60, 72]) == ()


@settings(max_examples=100)
@given(st.lists(st.integers(36, 84), min_size=2, max_size=6), st.none() | st.sampled_from(["C major", "E dorian"]))
def test_names_are_ordered_and_their_confidences_add_up(midis: list[int], key: str | None) -> None:
    found = name_chord(midis, Key.parse(key) if key else None)
    if len({midi % 12 for midi in midis}) < 2:
        assert found == ()
        return
    confidences = [name.confidence for name in found]
    assert confidences == sorted(confidences, reverse=True)
    assert sum(confidences) == pytest.approx(1)
    for name in found:
        lowest = name.symbol.bass or name.symbol.root
        assert lowest.pitch_class == min(midis) % 12

"""Patterns over any chords, metres and hands: what they may never do, and how they adapt."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.arranging.beats import beats_of
from core.arranging.left_hand import PATTERNS, left_hand, left_hand_remarks, pattern_named
from core.arranging.patterns import LeftHandPattern, grids_for
from core.song.chord import Chord
from core.song.hand_profile import HandProfile
from core.song.metre import Metre, MetreChange
from core.song.note import Hand, Note
from core.song.part import Part, in_order
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from core.theory.chord_symbols import parse_chord
from core.theory.chord_tones import chord_tones
from tests.helpers.strategies import chord_symbols, pitches

Q = TICKS_PER_QUARTER
METRES = ("2/4", "3/4", "4/4", "6/8", "9/8", "12/8", "5/4", "2/2", "3/8", "5/8", "7/8", "7/4")
NAMES = [pattern.name for pattern in PATTERNS]
LOWEST_KEY = 28


def one_bar(metre: str, symbols: str, hands: HandProfile = HandProfile()) -> Song:  # noqa: B008 - frozen
    """Chords that share a bar evenly."""
    bar = Metre.parse(metre)
    names = symbols.split()
    each = bar.bar_ticks // len(names)
    chords = tuple(Chord(place * each, each, parse_chord(name)) for place, name in enumerate(names))
    return Song("One bar", (Part(bar.bar_ticks, chords=chords),), metres=(MetreChange(0, bar),), hands=hands)


def struck(song: Song, pattern: str, number: int = 1) -> list[tuple[float, str]]:
    found: dict[int, list[str]] = {}
    for note in left_hand(song, number, pattern):
        found.setdefault(note.onset, []).append(note.pitch.plain)
    return [(onset / Q, "+".join(names)) for onset, names in found.items()]


@pytest.mark.parametrize("metre", METRES)
@pytest.mark.parametrize("name", NAMES)
def test_every_pattern_fills_a_bar_of_every_metre(name: str, metre: str) -> None:
    song = one_bar(metre, "C")
    notes = left_hand(song, 1, name)
    assert min(note.onset for note in notes) == 0
    assert max(note.end for note in notes) == song.length
    beats = [beat.onset for beat in beats_of(Metre.parse(metre))]
    if name == "block_beats":
        assert sorted({note.onset for note in notes}) == beats


def test_bass_and_chords_are_told_apart_by_the_beats_of_the_bar() -> None:
    assert struck(one_bar("2/4", "C"), "bass_chords") == [(0, "C2"), (1, "C3+E3+G3")]
    assert struck(one_bar("3/4", "C"), "bass_chords") == [(0, "C2"), (1, "C3+E3+G3"), (2, "C3+E3+G3")]
    five = [text for _, text in struck(one_bar("5/4", "C"), "bass_chords")]
    assert five == ["C2", "C3+E3+G3", "C3+E3+G3", "C2", "C3+E3+G3"]


def test_a_chord_of_half_a_bar_begins_the_pattern_anew() -> None:
    assert struck(one_bar("4/4", "C F"), "bass_chords") == [
        (0, "C2"), (1, "C3+E3+G3"), (2, "F2"), (3, "F3+A3+C4"),
    ]  # fmt: skip  # a table, read line by line
    assert [text for _, text in struck(one_bar("4/4", "C F"), "low_high_middle_high")] == [
        "C3", "G3", "E3", "G3", "F3", "C4", "A3", "C4",
    ]  # fmt: skip  # a table, read line by line


def test_a_chord_off_the_beat_is_struck_when_it_comes() -> None:
    chords = (Chord(0, 3 * Q // 2, parse_chord("C")), Chord(3 * Q // 2, 5 * Q // 2, parse_chord("F")))
    song = Song("Pushed", (Part(4 * Q, chords=chords),))
    assert struck(song, "bass_chords") == [
        (0, "C2"), (1, "C3+E3+G3"), (1.5, "F2"), (2, "F2"), (3, "F3+A3+C4"),
    ]  # fmt: skip  # a table, read line by line


def test_a_rhythm_of_the_bar_goes_on_under_a_new_chord() -> None:
    assert struck(one_bar("4/4", "C"), "long_long_short") == [(0, "C2"), (1.5, "C2"), (3, "C2")]
    assert struck(one_bar("4/4", "C F"), "long_long_short") == [(0, "C2"), (1.5, "C2"), (2, "F2"), (3, "F2")]


def test_a_pickup_takes_the_last_beats_of_its_bar() -> None:
    part = Part(5 * Q, chords=(Chord(0, Q, parse_chord("G")), Chord(Q, 4 * Q, parse_chord("C"))))
    song = Song("Pick-up", (part,), pickup=Q)
    assert struck(song, "bass_chords")[:2] == [(0, "G2"), (1, "C2")]


def test_a_slash_bass_is_the_bass_and_a_seventh_has_its_turn() -> None:
    assert struck(one_bar("4/4", "C/E"), "octaves")[0] == (0, "E2+E3")
    tones = [text for _, text in struck(one_bar("4/4", "G7"), "low_high_middle_high")]
    assert tones == ["G3", "F4", "B3", "F4", "G3", "F4", "D4", "F4"]


def test_a_walking_bass_comes_by_step_to_the_next_root() -> None:
    chords = (Chord(0, 4 * Q, parse_chord("C")), Chord(4 * Q, 4 * Q, parse_chord("F")))
    song = Song("Walk", (Part(8 * Q, chords=chords),))
    walk = [text for _, text in struck(song, "walking")]
    assert walk[:5] == ["C2", "G2", "D2", "E2", "F2"] or walk[2:5] == ["D2", "E2", "F2"]


def test_a_tenth_beyond_the_hand_is_no_stretch_and_an_octave_beyond_it_is_said() -> None:
    small = one_bar("4/4", "C", HandProfile(left_reach=10))
    assert struck(small, "octaves") == [(beat, "C2") for beat in range(4)]
    assert left_hand_remarks(small, 1, "octaves") == (
        (0, "Bar 1: the octave lies beyond your hand, so its lower note is played alone."),
    )
    assert left_hand_remarks(one_bar("4/4", "C"), 1, "octaves") == ()


def test_words_name_what_is_struck_in_the_metre() -> None:
    pattern = pattern_named("root_fifth_octave")
    assert pattern.words_in(Metre(4, 4)) == "Left hand: root, fifth, octave, fifth, one to each half beat."
    assert pattern.words_in(Metre(3, 4)) == (
        "Left hand: root, fifth, octave, fifth, octave, fifth, one to each half beat."
    )
    assert pattern_named("tenth").words_in(Metre(4, 4)) == (
        "Left hand: root for one beat, fifth for one beat, tenth for two beats."
    )
    assert pattern_named("block").words_in(Metre(3, 4)) == pattern_named("block").words


@st.composite
def songs(draw: st.DrawFn) -> Song:
    """A part of one to three bars in any metre with any chords, a melody over it, and any hands."""
    bar = Metre.parse(draw(st.sampled_from(METRES)))
    length = draw(st.integers(1, 3)) * bar.bar_ticks
    cuts = draw(st.sets(st.integers(1, max(1, 2 * length // Q - 1)), max_size=4))
    edges = sorted({0, *(cut * Q // 2 for cut in cuts if cut * Q // 2 < length), length})
    chords = tuple(Chord(start, end - start, draw(chord_symbols())) for start, end in pairwise(edges))
    melody = []
    if draw(st.booleans()):
        melody = [Note(start, end - start, draw(pitches(55, 84))) for start, end in pairwise(edges)]
    pickup = draw(st.sampled_from((0, bar.unit_ticks)))
    hands = HandProfile(12, draw(st.integers(7, 17)))
    part = Part(length, in_order(melody), chords)
    return Song("Any", (part,), metres=(MetreChange(0, bar),), pickup=pickup, hands=hands)


@settings(max_examples=150, deadline=None)
@given(songs(), st.sampled_from(NAMES))
def test_no_pattern_overlaps_crosses_reaches_too_far_or_leaves_its_chords(song: Song, name: str) -> None:
    part = song.part(1)
    notes = left_hand(song, 1, name)
    remarks = " ".join(text for _, text in left_hand_remarks(song, 1, name))
    for note in notes:
        assert note.duration > 0
        assert note.hand is Hand.LEFT
        assert note.pitch.midi >= LOWEST_KEY
    for onset in {note.onset for note in notes}:
        together = [note for note in notes if note.onset <= onset < note.end]
        midis = [note.pitch.midi for note in together]
        assert len(set(midis)) == len(midis)
        assert max(midis) - min(midis) <= song.hands.left_reach
    for chord in part.chords:
        inside = [note for note in notes if chord.onset <= note.onset < chord.end]
        assert all(note.end <= chord.end for note in inside)
        tones = {one.pitch_class for one in chord_tones(chord.symbol)}
        tones |= {chord.symbol.bass.pitch_class} if chord.symbol.bass else set()
        if name != "walking":
            assert {note.pitch.midi % 12 for note in inside} <= tones
        if "no room" not in remarks:
            assert min(note.onset for note in inside) == chord.onset
            # A rest is held to the end only where the pattern rests at its end.
            assert max(note.end for note in inside) == chord.end or not _fills(pattern_named(name))
        melody = [note.pitch.midi for note in part.melody if note.onset < chord.end and note.end > chord.onset]
        if melody and name != "block":
            assert all(note.pitch.midi < min(melody) for note in inside)


def _fills(pattern: LeftHandPattern) -> bool:
    """Whether every grid of a pattern sounds to its end."""
    if not pattern.grids:
        return True
    grids = [grid for metre in METRES for grid, _ in grids_for(pattern, beats_of(Metre.parse(metre)))]
    return (
        all(grid.strokes[-1].cell + grid.strokes[-1].cells == grid.cells for grid in grids) if pattern.grids else True
    )


@settings(max_examples=60, deadline=None)
@given(songs(), st.sampled_from(NAMES))
def test_the_plain_version_is_never_lost(song: Song, name: str) -> None:
    plain = left_hand(song, 1, "block")
    part = song.part(1)
    changed = song.with_part(1, replace(part, teaching=replace(part.teaching, pattern=name)))
    assert left_hand(changed, 1) == left_hand(song, 1, name)
    assert left_hand(changed, 1, "block") == plain


def test_the_bass_moves_smoothly_where_it_can() -> None:
    song = one_bar("4/4", "C D")
    first, second = (Pitch.parse(text.split("+")[0]).midi for _, text in struck(song, "held_fifth"))
    assert second - first == 2

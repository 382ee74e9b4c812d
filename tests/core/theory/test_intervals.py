from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.song.errors import DomainError
from core.song.pitch import NoteName, Pitch
from core.theory.intervals import (
    DIMINISHED_SEVENTH,
    MAJOR_THIRD,
    MINOR_THIRD,
    OCTAVE,
    Interval,
    above,
    simplest_name,
    transpose,
)


@pytest.mark.parametrize(
    ("start", "interval", "end"),
    [
        ("Ab", MINOR_THIRD, "Cb"),
        ("B", MAJOR_THIRD, "D#"),
        ("C", DIMINISHED_SEVENTH, "Bbb"),
        ("Cb", DIMINISHED_SEVENTH, "Bbbb"),
        ("G#", MAJOR_THIRD, "B#"),
        ("C", -MAJOR_THIRD, "Ab"),
        ("D#", MAJOR_THIRD, "F##"),
    ],
)
def test_an_interval_above_a_name_keeps_its_letters(start: str, interval: Interval, end: str) -> None:
    assert above(NoteName.parse(start), interval).plain == end


def test_a_fourth_flat_is_refused() -> None:
    with pytest.raises(DomainError, match="triple flat"):
        above(NoteName("B", -3), DIMINISHED_SEVENTH)


def test_pitches_move_across_octaves_and_back() -> None:
    assert transpose(Pitch.parse("B3"), MINOR_THIRD) == Pitch.parse("D4")
    assert transpose(Pitch.parse("Cb4"), -MINOR_THIRD) == Pitch.parse("Ab3")
    assert transpose(Pitch.parse("B#3"), OCTAVE) == Pitch.parse("B#4")


@given(
    st.builds(Pitch, st.sampled_from("CDEFGAB"), st.integers(-1, 1), st.integers(2, 6)),
    st.builds(Pitch, st.sampled_from("CDEFGAB"), st.integers(-1, 1), st.integers(2, 6)),
)
def test_the_interval_between_two_pitches_leads_from_one_to_the_other(low: Pitch, high: Pitch) -> None:
    interval = Interval.between(low, high)
    assert transpose(low, interval) == high
    assert transpose(high, -interval) == low
    assert above(low.name, interval) == high.name


def test_degrees_are_counted_from_the_major_scale() -> None:
    assert Interval.of_degree(9, -1) == Interval(8, 13)
    assert Interval.of_degree(11, 1).semitones == 18
    assert Interval(8, 13).alteration == -1


def test_the_simplest_names_lie_between_e_flat_and_g_sharp() -> None:
    names = [simplest_name(pitch_class).plain for pitch_class in range(12)]
    assert names == ["C", "C#", "D", "Eb", "E", "F", "F#", "G", "G#", "A", "Bb", "B"]

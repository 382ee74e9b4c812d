from __future__ import annotations

from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from core.song.key import Key
from core.song.time import TICKS_PER_QUARTER
from core.theory.key_changes import find_keys
from core.theory.key_finding import find_key

TUNE = (0, 2, 4, 5, 7, 7, 9, 9, 9, 9, 7, 7, 5, 5, 4, 4, 2, 2, 4, 2, 0, 0, 7, 4, 0, 4, 7, 5, 4, 2, 0, 0)
"""Eight bars of 4/4 in quarter notes, in semitones above the tonic of a major key."""

Sounding = list[tuple[int, int, int]]


def line(*stretches: tuple[int, int]) -> Sounding:
    """The tune on some tonics (MIDI numbers), each so many times, in quarter notes."""
    midis = [tonic + step for tonic, times in stretches for _ in range(times) for step in TUNE]
    return [(index * TICKS_PER_QUARTER, TICKS_PER_QUARTER, midi) for index, midi in enumerate(midis)]


def test_a_tune_that_stays_in_its_key_has_one_key() -> None:
    keys = find_keys(line((60, 4)))

    assert [(onset, guess.key) for onset, guess in keys] == [(0, Key.parse("C major"))]


def test_a_song_that_moves_up_a_tone_for_its_second_half_has_two_keys() -> None:
    notes = line((60, 2), (62, 2))

    first, second = find_keys(notes)

    assert (first[0], first[1].key) == (0, Key.parse("C major"))
    assert second[1].key == Key.parse("D major")
    assert abs(second[0] - 64 * TICKS_PER_QUARTER) <= 8 * TICKS_PER_QUARTER


def test_a_song_that_comes_home_has_three_keys() -> None:
    keys = [guess.key.plain for _, guess in find_keys(line((60, 2), (64, 2), (60, 2)))]

    assert keys == ["C major", "E major", "C major"]


def test_keys_change_at_the_borders_that_are_given() -> None:
    bar = 3 * TICKS_PER_QUARTER
    borders = range(0, 128 * TICKS_PER_QUARTER, bar)

    keys = find_keys(line((60, 2), (62, 2)), borders)

    assert len(keys) == 2
    assert keys[1][0] % bar == 0


def test_silence_has_one_key_without_confidence() -> None:
    ((onset, guess),) = find_keys([])

    assert (onset, guess.confidence) == (0, 0.0)


@settings(max_examples=40)
@given(
    st.lists(
        st.tuples(st.integers(0, 60), st.integers(0, 8), st.integers(30, 90)),
        max_size=40,
    )
)
def test_keys_begin_at_the_start_rise_and_differ(raw: Sounding) -> None:
    notes = [(onset * TICKS_PER_QUARTER // 2, length * TICKS_PER_QUARTER // 2, midi) for onset, length, midi in raw]

    keys = find_keys(notes)

    onsets = [onset for onset, _ in keys]
    assert onsets[0] == 0
    assert onsets == sorted(set(onsets))
    assert all(before[1].key != after[1].key for before, after in pairwise(keys))
    assert all(0.0 <= guess.confidence <= 1.0 for _, guess in keys)
    if len(keys) == 1:
        assert keys[0][1] == find_key(notes)

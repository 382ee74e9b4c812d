"""Chords read from what sounds in an arrangement that names none."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.song.key import Key
from core.song.metre import Metre, MetreChange, bars_of
from core.song.time import TICKS_PER_QUARTER as QUARTER
from core.theory.chord_symbols import write_chord
from core.theory.chords_heard import chords_heard

Played = list[tuple[int, int, int]]
BAR = 4 * QUARTER


def struck(start: int, length: int, *keys: int) -> Played:
    return [(start, length, key) for key in keys]


def heard(notes: Played, bars: int, metre: str = "4/4", key: str = "C major") -> list[tuple[float, float, str]]:
    length = bars * Metre.parse(metre).bar_ticks
    found = chords_heard(notes, bars_of((MetreChange(0, Metre.parse(metre)),), 0, length), Key.parse(key))
    return [(one.onset / QUARTER, one.duration / QUARTER, write_chord(one.symbol)) for one in found]


def test_block_chords_are_read_as_they_stand() -> None:
    notes = struck(0, BAR, 48, 52, 55) + struck(BAR, BAR, 45, 48, 52) + struck(2 * BAR, BAR, 43, 47, 50, 53)
    assert heard(notes, 3) == [(0, 4, "C"), (4, 4, "Am"), (8, 4, "G7")]


def test_broken_chords_and_a_tune_over_them_are_read_too() -> None:
    left = [note for beat, key in enumerate((48, 55, 52, 55)) for note in struck(beat * QUARTER, QUARTER, key)]
    left += [note for beat, key in enumerate((41, 48, 45, 48), 4) for note in struck(beat * QUARTER, QUARTER, key)]
    beats = enumerate((72, 74, 76, 79, 77, 79, 81, 77))
    tune = [note for beat, key in beats for note in struck(beat * QUARTER, QUARTER, key)]
    assert heard(left + tune, 2) == [(0, 4, "C"), (4, 4, "F")]


def test_a_chord_that_changes_in_the_middle_of_the_bar_is_seen() -> None:
    notes = struck(0, 2 * QUARTER, 48, 52, 55) + struck(2 * QUARTER, 2 * QUARTER, 43, 47, 50)
    assert heard(notes, 1) == [(0, 2, "C"), (2, 2, "G")]


@pytest.mark.parametrize(("keys", "name"), [((52, 55, 60), "C/E"), ((55, 60, 64), "C/G"), ((47, 53, 55, 62), "G7/B")])
def test_an_inversion_is_written_with_its_bass(keys: tuple[int, ...], name: str) -> None:
    assert [chord for _, _, chord in heard(struck(0, BAR, *keys), 1)] == [name]


@pytest.mark.parametrize(("key", "name"), [("Ab major", "Db"), ("E major", "C#")])
def test_chords_are_spelled_as_the_key_has_it(key: str, name: str) -> None:
    assert [chord for _, _, chord in heard(struck(0, BAR, 49, 53, 56), 1, key=key)] == [name]


def test_a_tune_alone_that_turns_about_a_step_is_no_chord() -> None:
    turning = [note for beat in range(4) for note in struck(beat * QUARTER, QUARTER, 76 - beat % 2)]
    assert heard([*turning, *struck(BAR, BAR, 45, 52, 57, 60)], 2, key="A minor") == [(4, 4, "Am")]


def test_nothing_heard_no_chords_and_none_before_the_first_note() -> None:
    assert heard([], 2) == []
    assert heard(struck(BAR, BAR, 48, 52, 55), 2) == [(4, 4, "C")]


notes = st.lists(st.tuples(st.integers(0, 6 * BAR), st.integers(0, BAR), st.integers(21, 108)), max_size=40)


@given(notes, st.sampled_from(["4/4", "3/4", "6/8", "5/4", "2/2"]))
def test_chords_follow_one_another_without_overlap_inside_the_song(played: Played, metre: str) -> None:
    length = 8 * Metre.parse(metre).bar_ticks
    bars = bars_of((MetreChange(0, Metre.parse(metre)),), 0, length)
    found = chords_heard(played, bars, Key.parse("D minor"))
    ends = [one.onset + one.duration for one in found]
    assert all(end <= after.onset for end, after in zip(ends, found[1:], strict=False))
    assert all(end <= length for end in ends)
    assert all(0.0 <= one.confidence <= 1.0 for one in found)
    sounding = {midi % 12 for _, _, midi in played}
    assert all(one.symbol.root.pitch_class in sounding for one in found)

"""Phrases are known by rests, long notes, metre and passages that are alike."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from core.song.metre import Bar, Metre, MetreChange, bars_of
from core.teaching.boundaries import PHRASE_LIKELY, boundary_strengths

QUARTER = 10_080


def bars(count: int, metre: str = "4/4", pickup: float = 0) -> tuple[Bar, ...]:
    changes = (MetreChange(0, Metre.parse(metre)),)
    lead = round(pickup * QUARTER)
    return bars_of(changes, lead, lead + count * changes[0].metre.bar_ticks)


def line(*lengths_and_pitches: tuple[float, int]) -> list[tuple[int, int, int]]:
    """Notes one after another; pitch 0 is a rest."""
    notes, now = [], 0
    for length, midi in lengths_and_pitches:
        duration = round(length * QUARTER)
        if midi:
            notes.append((now, duration, midi))
        now += duration
    return notes


def test_the_first_note_always_begins_a_phrase() -> None:
    assert boundary_strengths(line((1, 60)), bars(1)) == (1.0,)
    assert boundary_strengths(line((1, 60), (1, 62)), bars(1))[0] == 1.0
    assert boundary_strengths((), bars(1)) == ()


def test_a_note_after_a_rest_is_likelier_than_the_notes_around_it() -> None:
    notes = line((1, 60), (1, 62), (1, 64), (1, 65), (1, 67), (1, 64), (1, 60), (1, 0), *[(1, 62)] * 7)
    strengths = boundary_strengths(notes, bars(4))
    after_rest = strengths[7]
    assert after_rest > PHRASE_LIKELY
    assert after_rest > max(strengths[4:7] + strengths[8:])


def test_four_like_phrases_ended_by_long_notes_are_found_exactly() -> None:
    phrase = [(1, 60), (1, 62), (1, 64), (1, 60), (1, 64), (1, 65), (2, 67)]
    strengths = boundary_strengths(line(*phrase * 4), bars(8))
    found = [index for index, strength in enumerate(strengths) if strength >= PHRASE_LIKELY]
    assert found == [0, 7, 14, 21]


def test_phrases_of_a_song_with_a_pick_up_begin_before_the_bar_line() -> None:
    phrase = [(1, 67), (1, 72), (1, 72), (1, 74), (1, 76), (2, 74), (1, 71)]
    strengths = boundary_strengths(line(*phrase * 4), bars(8, pickup=1))
    found = [index for index, strength in enumerate(strengths) if strength >= PHRASE_LIKELY]
    assert found == [0, 7, 14, 21]


NOTES = st.lists(
    st.tuples(st.sampled_from([0.25, 0.5, 1.0, 1.5, 3.0]), st.sampled_from([0, 55, 60, 64, 72])), max_size=60
)


@settings(max_examples=40, deadline=None)
@given(NOTES, st.sampled_from(["2/4", "3/4", "4/4", "6/8", "5/8"]), st.sampled_from([0, 0.5]))
def test_every_note_gets_a_probability(lengths: list[tuple[float, int]], metre: str, pickup: float) -> None:
    notes = line((1.0, 60), *lengths)
    strengths = boundary_strengths(notes, bars(40, metre, pickup))
    assert len(strengths) == len(notes)
    assert all(0 <= strength <= 1 for strength in strengths)


@settings(max_examples=30, deadline=None)
@given(NOTES, st.integers(-12, 12))
def test_a_transposed_melody_has_the_same_phrases(lengths: list[tuple[float, int]], semitones: int) -> None:
    notes = line((1.0, 60), *lengths)
    moved = [(onset, duration, midi + semitones) for onset, duration, midi in notes]
    assert boundary_strengths(moved, bars(40)) == boundary_strengths(notes, bars(40))


def test_a_melody_of_two_thousand_notes_is_no_different_in_kind() -> None:
    notes = line(*[(1.0, 60 + index % 5) if index % 8 < 7 else (1.0, 0) for index in range(2300)])
    strengths = boundary_strengths(notes, bars(575))
    starts = sum(strength >= PHRASE_LIKELY for strength in strengths)
    assert 200 < starts < 330

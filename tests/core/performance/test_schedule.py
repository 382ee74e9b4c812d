"""A song as timed events."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.performance.in_a_row import in_a_row
from core.performance.schedule import GRACE_SECONDS, Schedule, make_schedule
from core.performance.selection import (
    Selection,
    bars_of_song,
    one_part,
    parts_in_a_row,
    run_through,
    stretch,
    whole_song,
)
from core.song.chord import Chord, ChordSymbol
from core.song.errors import DomainError
from core.song.note import Hand
from core.song.pitch import NoteName
from core.song.song import Song
from core.song.tempo import TempoChange
from tests.core.performance.songs import BAR, QUARTER, note, part, song, three_parts

RIGHT = frozenset({Hand.RIGHT})
LEFT = frozenset({Hand.LEFT})


def strikes(schedule: Schedule) -> list[tuple[float, int]]:
    return [(round(event.seconds, 6), event.midi) for event in schedule.events if event.kind == "on"]


def releases(schedule: Schedule) -> list[tuple[float, int]]:
    return [(round(event.seconds, 6), event.midi) for event in schedule.events if event.kind == "off"]


def clicks(schedule: Schedule) -> list[tuple[float, int]]:
    return [(round(event.seconds, 6), event.midi) for event in schedule.events if event.kind == "click"]


def test_one_part_is_played_from_its_own_start() -> None:
    schedule = make_schedule(three_parts(), one_part(three_parts(), 2))
    assert strikes(schedule) == [(0.0, 50), (0.0, 74)]
    assert releases(schedule) == [(2.0, 74), (4.0, 50)]
    assert schedule.length == pytest.approx(4.0)


def test_a_run_through_plays_the_parts_up_to_it_in_a_row() -> None:
    schedule = make_schedule(three_parts(), replace(run_through(three_parts(), 3), hands=RIGHT))
    assert strikes(schedule) == [(0.0, 72), (4.0, 74), (8.0, 76)]


def test_the_whole_song_is_played_with_its_repeats() -> None:
    whole = three_parts(order=(1, 2, 1, 3))
    schedule = make_schedule(whole, replace(whole_song(whole), hands=RIGHT))
    assert strikes(schedule) == [(0.0, 72), (4.0, 74), (8.0, 72), (12.0, 76)]
    assert schedule.length == pytest.approx(16.0)


@pytest.mark.parametrize(("hands", "keys"), [(RIGHT, {72}), (LEFT, {48}), (RIGHT | LEFT, {72, 48})])
def test_a_hand_that_is_not_chosen_is_silent(hands: frozenset[Hand], keys: set[int]) -> None:
    schedule = make_schedule(three_parts(), Selection((1,), hands=hands))
    assert {midi for _, midi in strikes(schedule)} == keys


def test_half_speed_takes_twice_as_long() -> None:
    schedule = make_schedule(three_parts(), Selection((1, 2), hands=RIGHT, speed=0.5))
    assert strikes(schedule) == [(0.0, 72), (8.0, 74)]
    assert schedule.length == pytest.approx(16.0)


def test_a_teaching_tempo_stands_in_for_the_songs_own() -> None:
    schedule = make_schedule(three_parts(), Selection((1, 2), hands=RIGHT, tempo=120.0))
    assert strikes(schedule) == [(0.0, 72), (2.0, 74)]


def test_tempo_changes_are_followed_inside_and_across_parts() -> None:
    changes = (TempoChange(0, 60.0), TempoChange(2 * QUARTER, 120.0), TempoChange(BAR, 30.0))
    whole = song(part(1, note(0, 1, "C4"), note(3, 1, "D4")), part(1, note(1, 1, "E4")), tempos=changes)
    schedule = make_schedule(whole, whole_song(whole))
    assert strikes(schedule) == [(0.0, 60), (2.5, 62), (5.0, 64)]
    assert schedule.length == pytest.approx(11.0)


def test_a_repeated_part_keeps_its_own_written_tempo() -> None:
    changes = (TempoChange(0, 60.0), TempoChange(BAR, 120.0))
    whole = song(part(1, note(0, 1, "C4")), part(1, note(0, 1, "D4")), tempos=changes, order=(1, 2, 1))
    schedule = make_schedule(whole, whole_song(whole))
    assert strikes(schedule) == [(0.0, 60), (4.0, 62), (6.0, 60)]
    assert schedule.length == pytest.approx(10.0)


def test_a_count_in_clicks_one_bar_with_its_first_beat_accented() -> None:
    schedule = make_schedule(three_parts(), Selection((2,), hands=RIGHT, count_in=True))
    assert clicks(schedule) == [(0.0, 76), (1.0, 77), (2.0, 77), (3.0, 77)]
    assert strikes(schedule) == [(4.0, 74)]
    assert schedule.positions[0] == (4.0, 2, 0)


def test_a_count_in_to_a_pick_up_lets_it_fall_on_its_beat() -> None:
    whole = song(part(1.25, note(0, 1, "G4"), note(1, 2, "C5")), pickup=1)
    schedule = make_schedule(whole, Selection((1,), count_in=True))
    assert clicks(schedule) == [(0.0, 77), (1.0, 76), (2.0, 77), (3.0, 77)]
    assert strikes(schedule) == [(4.0, 67), (5.0, 72)]


def test_a_count_in_to_music_between_two_beats_ends_less_than_a_beat_before_it() -> None:
    whole = song(part(1.125, note(0, 0.5, "G4"), note(0.5, 2, "C5")), pickup=0.5)
    schedule = make_schedule(whole, Selection((1,), count_in=True))
    assert clicks(schedule) == [(0.0, 76), (1.0, 77), (2.0, 77), (3.0, 77)]
    assert strikes(schedule) == [(3.5, 67), (4.0, 72)]


def test_a_compound_metre_is_counted_in_dotted_beats() -> None:
    whole = song(part(1.5, note(0, 3, "C4")), metre="6/8")
    schedule = make_schedule(whole, Selection((1,), count_in=True))
    assert clicks(schedule) == [(0.0, 76), (1.5, 77)]


def test_a_count_in_keeps_the_tempo_of_what_follows() -> None:
    whole = song(part(1), part(1, note(0, 1, "C4")), tempos=(TempoChange(0, 30.0), TempoChange(BAR, 120.0)))
    schedule = make_schedule(whole, Selection((2,), count_in=True))
    assert [when for when, _ in clicks(schedule)] == [0.0, 0.5, 1.0, 1.5]


def test_the_metronome_clicks_every_beat_and_accents_bar_lines() -> None:
    whole = song(part(1.25, note(0, 1, "G4")), pickup=1)
    schedule = make_schedule(whole, Selection((1,), metronome=True))
    assert clicks(schedule) == [(0.0, 77), (1.0, 76), (2.0, 77), (3.0, 77), (4.0, 77)]


def test_several_times_are_counted_in_once() -> None:
    schedule = make_schedule(three_parts(), Selection((1,), hands=RIGHT, count_in=True, times=2))
    assert len(clicks(schedule)) == 4
    assert strikes(schedule) == [(4.0, 72), (8.0, 72)]


def test_a_note_sounds_on_into_the_part_that_follows() -> None:
    whole = song(part(1, note(3, 3, "C4")), part(1, note(0, 1, "E4")), part(1))
    together = make_schedule(whole, Selection((1, 2, 3)))
    alone = make_schedule(whole, Selection((1,)))
    with_a_jump = make_schedule(whole, Selection((1, 3)))
    assert (6.0, 60) in releases(together)
    assert (4.0, 60) in releases(alone)
    assert (4.0, 60) in releases(with_a_jump)


def test_a_note_sounds_on_where_the_songs_repeats_lead() -> None:
    whole = song(part(1, note(0, 1, "C4")), part(1, note(3, 2, "E4")), order=(1, 2, 1, 2))
    assert releases(make_schedule(whole, whole_song(whole))) == [(1.0, 60), (9.0, 60), (9.0, 64), (16.0, 64)]


def test_a_key_comes_up_before_it_is_struck_again() -> None:
    whole = song(part(1, note(0, 1, "C4"), note(1, 1, "C4")))
    schedule = make_schedule(whole, Selection((1,)))
    (up, _), _ = releases(schedule)
    assert 0.9 < up < 1.0


def test_a_key_that_both_hands_strike_at_once_is_struck_once() -> None:
    whole = song(part(1, note(0, 1, "C4"), note(0, 2, "C4", Hand.LEFT)))
    schedule = make_schedule(whole, Selection((1,)))
    assert strikes(schedule) == [(0.0, 60)]
    assert releases(schedule) == [(2.0, 60)]
    assert schedule.events[0].hand is Hand.RIGHT


def test_a_grace_note_comes_just_before_its_beat() -> None:
    whole = song(part(1, note(0, 1, "C4"), note(1, 0, "D4"), note(1, 1, "E4")))
    schedule = make_schedule(whole, Selection((1,)))
    assert strikes(schedule) == [(0.0, 60), (round(1 - GRACE_SECONDS, 6), 62), (1.0, 64)]


def test_a_grace_note_at_the_very_start_delays_everything_by_its_length() -> None:
    whole = song(part(1, note(0, 0, "D4"), note(0, 1, "E4")))
    schedule = make_schedule(whole, Selection((1,)))
    assert strikes(schedule) == [(0.0, 62), (GRACE_SECONDS, 64)]
    assert schedule.positions[0] == (GRACE_SECONDS, 1, 0)


def test_crowded_grace_notes_leave_the_note_before_them_half_its_time() -> None:
    graces = [note(0.125, 0, pitch) for pitch in ("D4", "E4", "F4")]
    whole = song(part(1, note(0, 0.125, "C4"), *graces, note(0.125, 1, "G4")))
    times = [when for when, _ in strikes(make_schedule(whole, Selection((1,))))]
    assert times == sorted(times)
    assert times[1] == pytest.approx(0.0625)


def test_a_chord_that_a_cut_divided_is_held_across_it_in_a_run_through_and_struck_when_its_part_is_alone() -> None:
    symbol = ChordSymbol(NoteName("C"))
    first = replace(part(1, note(0, 1, "G5")), chords=(Chord(0, BAR, symbol),))
    second = replace(part(1, note(0, 1, "G5")), chords=(Chord(0, BAR, symbol, continued=True),))
    whole = song(first, second)
    together = make_schedule(whole, Selection((1, 2), hands=LEFT))
    assert {when for when, _ in strikes(together)} == {0.0}
    assert {when for when, _ in releases(together)} == {8.0}
    assert {when for when, _ in strikes(make_schedule(whole, Selection((2,), hands=LEFT)))} == {0.0}


def test_a_part_with_neither_left_hand_nor_chords_is_silent_in_the_left_hand() -> None:
    schedule = make_schedule(song(part(1, note(0, 1, "C4"))), Selection((1,), hands=LEFT))
    assert schedule.events == ()
    assert schedule.length == pytest.approx(4.0)


def test_starting_later_leaves_out_what_came_before() -> None:
    schedule = make_schedule(three_parts(), Selection((1, 2, 3), hands=RIGHT, start=BAR + QUARTER))
    assert strikes(schedule) == [(3.0, 76)]
    assert schedule.positions[0] == (0.0, 2, QUARTER)


def test_starting_past_the_end_is_refused() -> None:
    with pytest.raises(DomainError, match="before the end"):
        make_schedule(three_parts(), Selection((1,), start=BAR))


def test_a_missing_part_is_refused() -> None:
    with pytest.raises(DomainError, match="part's number"):
        make_schedule(three_parts(), Selection((4,)))
    with pytest.raises(DomainError, match="part's number"):
        run_through(three_parts(), 0)


def test_positions_lead_from_seconds_to_the_place_in_the_score_and_back() -> None:
    changes = (TempoChange(0, 60.0), TempoChange(2 * QUARTER, 120.0))
    whole = song(part(1, note(0, 1, "C4")), part(1, note(0, 1, "D4")), tempos=changes, order=(1, 2, 1))
    schedule = make_schedule(whole, replace(whole_song(whole), count_in=True))
    assert schedule.place(0.0) == (1, 0)
    assert schedule.place(4.5) == (1, QUARTER // 2)
    assert schedule.place(6.5) == (1, 3 * QUARTER)
    assert schedule.place(7.0) == (2, 0)
    assert schedule.place(99.0) == (1, BAR)
    assert schedule.seconds_of(1, 3 * QUARTER) == pytest.approx(6.5)
    assert schedule.seconds_of(1, 3 * QUARTER, after=7.0) == pytest.approx(11.5)
    assert schedule.seconds_of(3, 0) is None


@st.composite
def songs(draw: st.DrawFn) -> Song:
    pitches = st.sampled_from(["C3", "C4", "D4", "E4", "C5"])
    notes = st.builds(
        note,
        st.integers(0, 15).map(lambda place: place / 4),
        st.sampled_from([0.0, 0.25, 1.0, 3.0, 6.0]),
        pitches,
        st.sampled_from(list(Hand)),
    )
    parts = draw(st.lists(st.lists(notes, max_size=8).map(lambda some: part(1, *some)), min_size=1, max_size=3))
    return song(*parts, pickup=draw(st.sampled_from([0.0, 0.5, 1.0])))


@settings(max_examples=60, deadline=None)
@given(songs(), st.data())
def test_every_key_that_goes_down_comes_up_before_it_goes_down_again(whole: Song, data: st.DataObject) -> None:
    numbers = st.integers(1, len(whole.parts))
    selection = Selection(
        tuple(data.draw(st.lists(numbers, min_size=1, max_size=4))),
        count_in=data.draw(st.booleans()),
        metronome=data.draw(st.booleans()),
        speed=data.draw(st.sampled_from([0.3, 1.0, 1.2])),
        times=data.draw(st.integers(1, 2)),
    )
    schedule = make_schedule(whole, selection)
    down: set[int] = set()
    before = 0.0
    for event in schedule.events:
        assert before <= event.seconds <= schedule.length + 1e-6
        before = event.seconds
        if event.kind == "on":
            assert event.midi not in down
            down.add(event.midi)
        elif event.kind == "off":
            down.remove(event.midi)
    assert not down


def test_the_softer_hand_is_struck_less_hard() -> None:
    whole = three_parts()
    usual = make_schedule(whole, Selection((1,)))
    softer = make_schedule(whole, Selection((1,), softer=Hand.LEFT))
    assert [event.velocity for event in softer.events if event.hand is Hand.RIGHT] == [
        event.velocity for event in usual.events if event.hand is Hand.RIGHT
    ]
    left, before = (
        next(e.velocity for e in one.events if e.hand is Hand.LEFT and e.kind == "on") for one in (softer, usual)
    )
    assert 1 <= left < 0.7 * before


def test_a_stretch_is_played_from_its_start_to_its_end_each_time() -> None:
    whole = song(part(1, *(note(beat, 1, pitch) for beat, pitch in enumerate(("C4", "D4", "E4", "F4")))))
    schedule = make_schedule(whole, Selection((1,), start=QUARTER, end=3 * QUARTER, times=2))
    assert strikes(schedule) == [(0.0, 62), (1.0, 64), (2.0, 62), (3.0, 64)]
    assert schedule.length == pytest.approx(4.0)


def test_a_note_is_cut_where_the_stretch_ends() -> None:
    whole = song(part(1, note(0, 4, "C4")), part(1, note(0, 1, "D4")))
    schedule = make_schedule(whole, Selection((1, 2), end=2 * QUARTER, times=2))
    assert releases(schedule) == [(pytest.approx(1.97), 60), (4.0, 60)]


def test_each_time_is_faster_by_the_rise() -> None:
    schedule = make_schedule(three_parts(), Selection((1,), hands=RIGHT, times=3, rise=0.25))
    assert strikes(schedule) == [(0.0, 72), (4.0, 72), (7.2, 72)]
    assert schedule.length == pytest.approx(4 + 4 / 1.25 + 4 / 1.5)


def test_two_bars_are_counted_in_where_that_is_wanted() -> None:
    schedule = make_schedule(three_parts(), Selection((1,), hands=RIGHT, count_in=True, count_in_bars=2))
    assert [midi for _, midi in clicks(schedule)] == [76, 77, 77, 77] * 2
    assert strikes(schedule) == [(8.0, 72)]


def test_the_metronome_divides_beats_and_clicks_softer_between_them() -> None:
    whole = song(part(1.25, note(0, 1, "G4")), pickup=1)
    schedule = make_schedule(whole, Selection((1,), metronome=True, subdivisions=2))
    assert [when for when, _ in clicks(schedule)] == [number / 2 for number in range(10)]
    loud = [event.velocity for event in schedule.events if event.kind == "click"]
    assert max(loud[1::2]) < min(loud[0::2])
    assert loud[2] == max(loud)


def test_three_clicks_to_a_beat_of_a_compound_metre_are_its_eighths() -> None:
    whole = song(part(1.5, note(0, 1, "G4")), metre="6/8")
    schedule = make_schedule(whole, Selection((1,), metronome=True, subdivisions=3))
    assert [when for when, _ in clicks(schedule)] == [number / 2 for number in range(12)]


def test_the_metronome_has_a_level_of_its_own() -> None:
    def levels(level: float) -> list[int]:
        wanted = Selection((1,), metronome=True, click_level=level)
        return [event.velocity for event in make_schedule(three_parts(), wanted).events if event.kind == "click"]

    assert all(quiet < usual < loud for quiet, usual, loud in zip(levels(0.5), levels(1), levels(1.5), strict=True))
    assert max(levels(2)) <= 127


@pytest.mark.parametrize(
    ("words", "row"),
    [
        ("3, then 1–3", (3, 1, 2, 3)),
        ("3 then 1-3", (3, 1, 2, 3)),
        ("2 x 3", (2, 2, 2)),
        ("1 to 2; 3", (1, 2, 3)),
        ("1-2 x2, 3", (1, 2, 1, 2, 3)),
        ("3-1", (3, 2, 1)),
        ("2", (2,)),
    ],
)
def test_parts_in_a_row_are_said_in_words(words: str, row: tuple[int, ...]) -> None:
    assert parts_in_a_row(three_parts(), words).parts == row


@pytest.mark.parametrize("words", ["", "x", "1,", "1 then", "4", "0", "1–9", "1 and 2", "1-3 x 99"])
def test_words_that_name_no_row_of_parts_are_refused(words: str) -> None:
    with pytest.raises(DomainError):
        parts_in_a_row(three_parts(), words)


@pytest.mark.parametrize(
    ("words", "parts", "start", "end"),
    [("2", (2,), 0, BAR), ("1-2", (1, 2), 0, 2 * BAR), ("2-", (2, 3), 0, 2 * BAR), ("3 to 3", (3,), 0, BAR)],
)
def test_bars_are_said_in_words(words: str, parts: tuple[int, ...], start: int, end: int) -> None:
    found = bars_of_song(three_parts(), words)
    assert (found.parts, found.start, found.end) == (parts, start, end)


def test_a_pick_up_is_bar_nought() -> None:
    whole = song(part(1.25, note(0, 1, "G4"), note(1, 2, "C5")), pickup=1)
    assert strikes(make_schedule(whole, bars_of_song(whole, "0"))) == [(0.0, 67)]
    assert strikes(make_schedule(whole, bars_of_song(whole, "1"))) == [(0.0, 72)]


@pytest.mark.parametrize("words", ["", "x", "0", "4", "2-1", "1-9", "-2", "1-2-3"])
def test_words_that_name_no_bars_are_refused(words: str) -> None:
    with pytest.raises(DomainError):
        bars_of_song(three_parts(), words)


def test_a_stretch_across_a_cut_sounds_as_written() -> None:
    found = stretch(three_parts(), BAR - QUARTER, BAR + QUARTER)
    assert strikes(make_schedule(three_parts(), replace(found, hands=RIGHT))) == [(1.0, 74)]
    with pytest.raises(DomainError):
        stretch(three_parts(), 0, 99 * BAR)


def test_schedules_in_a_row_keep_their_places_and_the_pause_between_them() -> None:
    one, two = (make_schedule(three_parts(), Selection((number,), hands=RIGHT)) for number in (1, 2))
    both = in_a_row((one, two), pause=1.5)
    assert strikes(both) == [(0.0, 72), (5.5, 74)]
    assert both.length == pytest.approx(9.5)
    assert both.place(2.0) == (1, 2 * QUARTER)
    assert both.place(4.5) == (1, BAR)
    assert both.place(6.5) == (2, QUARTER)

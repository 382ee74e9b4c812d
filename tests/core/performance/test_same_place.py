"""The same place of the song in another schedule of it."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from core.performance.same_place import same_place
from core.performance.schedule import Schedule, make_schedule
from core.performance.selection import one_part, parts_in_a_row, whole_song
from core.song.song import Song
from tests.helpers.songs import night_ferry


@pytest.fixture
def song() -> Song:
    return night_ferry()


def test_a_count_in_before_it_moves_a_place_by_its_length(song: Song) -> None:
    plain = make_schedule(song, one_part(song, 2))
    counted = make_schedule(song, replace(one_part(song, 2), count_in=True))
    bar = counted.positions[0][0]
    assert same_place(plain, 1.5, counted) == pytest.approx(bar + 1.5, abs=0.001)
    assert same_place(counted, bar + 1.5, plain) == pytest.approx(1.5, abs=0.001)


def test_what_is_counting_in_has_as_long_to_count(song: Song) -> None:
    counted = make_schedule(song, replace(one_part(song, 2), count_in=True))
    faster = make_schedule(song, replace(one_part(song, 2), count_in=True, metronome=True))
    assert same_place(counted, 0.7, faster) == pytest.approx(0.7)
    assert same_place(counted, 0.7, make_schedule(song, one_part(song, 2))) == 0.0


def test_a_part_played_for_the_second_time_is_found_the_second_time(song: Song) -> None:
    row = make_schedule(song, parts_in_a_row(song, "1, 2, 1"))
    changed = make_schedule(song, replace(parts_in_a_row(song, "1, 2, 1"), count_in=True))
    place = row.length - 1.0
    assert same_place(row, place, changed) == pytest.approx(changed.length - 1.0, abs=0.001)


def test_a_place_that_is_not_there_any_more_is_the_start(song: Song) -> None:
    whole = make_schedule(song, whole_song(song))
    assert same_place(whole, whole.length, make_schedule(song, one_part(song, 1))) == 0.0
    assert same_place(Schedule(), 3.0, whole) == 0.0

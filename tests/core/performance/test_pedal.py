"""The sustain pedal in a schedule: in the parts that ask for it, up at every new chord and at every end."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from core.arranging.pedal import pedal_marks
from core.edits.set_teaching import set_pedal
from core.performance.schedule import TimedEvent, make_schedule
from core.performance.selection import Selection
from core.song.note import Hand
from core.song.song import Song
from tests.helpers.songs import DEMO_SONGS, night_ferry


def pedalled(song: Song) -> Song:
    for number in range(1, len(song.parts) + 1):
        song = set_pedal(song, number, True)
    return song


def of_pedal(song: Song, selection: Selection) -> list[TimedEvent]:
    return [event for event in make_schedule(song, selection).events if event.kind == "pedal"]


@pytest.mark.parametrize("name", DEMO_SONGS)
@pytest.mark.parametrize("times", [1, 2])
def test_it_goes_down_after_each_chord_is_struck_and_comes_up_with_the_next(name: str, times: int) -> None:
    song = pedalled(DEMO_SONGS[name]())
    numbers = tuple(range(1, len(song.parts) + 1))
    schedule = make_schedule(song, Selection(numbers, times=times))
    events = [event for event in schedule.events if event.kind == "pedal"]
    assert len(events) == 2 * times * sum(len(pedal_marks(song, number)) for number in numbers)
    assert [bool(event.velocity) for event in events] == [True, False] * (len(events) // 2)
    assert all(0 < event.seconds <= schedule.length for event in events)
    struck = {round(event.seconds, 6) for event in schedule.events if event.kind == "on"}
    downs = [event for event in events if event.velocity]
    assert all(round(event.seconds, 6) not in struck for event in downs)


def test_only_the_parts_that_ask_for_it_have_it_and_only_with_the_left_hand() -> None:
    song = set_pedal(night_ferry(), 2, True)
    assert {event.part for event in of_pedal(song, Selection((1, 2, 3)))} == {2}
    assert not of_pedal(song, Selection((2,), frozenset({Hand.RIGHT})))
    assert not of_pedal(song, Selection((2,), pedal=False))
    assert not of_pedal(night_ferry(), Selection((1, 2, 3)))


def test_a_stretch_that_begins_or_ends_inside_a_chord_has_the_pedal_up_at_its_end() -> None:
    song = pedalled(night_ferry())
    mark = pedal_marks(song, 1)[0]
    middle = (mark.down + mark.up) // 2
    schedule = make_schedule(song, Selection((1,), start=middle // 2, end=middle))
    down, up = (event for event in schedule.events if event.kind == "pedal")
    assert down.seconds < up.seconds <= schedule.length
    assert (down.velocity, up.velocity) == (127, 0)


def test_the_notes_are_the_same_with_and_without_it() -> None:
    plain = make_schedule(night_ferry(), Selection((1, 2, 3)))
    found = make_schedule(pedalled(night_ferry()), Selection((1, 2, 3)))
    assert replace(found, events=tuple(event for event in found.events if event.kind != "pedal")) == plain

"""A segment is heard as it will be recorded."""

from __future__ import annotations

import pytest

from core.performance.schedule import Schedule
from core.session.running_order import Segment, running_order
from core.session.segment_playing import segment_numbered, segment_schedule
from core.session.timing import LessonSettings
from core.song.errors import PlanError
from core.song.note import Hand
from core.song.song import Song
from tests.helpers.songs import night_ferry

SETTINGS = LessonSettings(count_in_bars=2, pause=1.5, right_hand_times=3)


def first_of(song: Song, kind: str) -> Segment:
    return next(segment for segment in running_order(song, SETTINGS) if segment.kind == kind)


def clicks(schedule: Schedule) -> int:
    return sum(event.kind == "click" for event in schedule.events)


def test_a_segment_lasts_as_long_as_its_plays_and_the_pauses_between_them() -> None:
    song = night_ferry()
    for segment in running_order(song, SETTINGS):
        if segment.play:
            plays = sum(play.seconds for play in segment.play)
            pauses = sum(play.times for play in segment.play) - 1
            heard = segment_schedule(song, segment, SETTINGS.pause)
            assert heard.length == pytest.approx(plays + pauses * SETTINGS.pause, abs=1e-6)


def test_a_right_hand_is_counted_in_once_and_played_as_often_as_the_lesson_says_at_its_tempo() -> None:
    song = night_ferry()
    segment = first_of(song, "right_hand")
    heard = segment_schedule(song, segment, SETTINGS.pause)
    strikes = [event for event in heard.events if event.kind == "on"]
    assert clicks(heard) == 2 * song.metre.beats
    assert {event.hand for event in strikes} == {Hand.RIGHT}
    assert len(strikes) == 3 * len(song.part(1).hand(Hand.RIGHT))
    beat = 60 / segment.play[0].tempo
    assert strikes[0].seconds == pytest.approx(2 * song.metre.beats * beat)


def test_every_key_of_a_segment_comes_up_before_the_pause() -> None:
    song = night_ferry()
    heard = segment_schedule(song, first_of(song, "together"), SETTINGS.pause)
    down = 0
    for before, after in zip(heard.events, heard.events[1:], strict=False):
        down += {"on": 1, "off": -1, "click": 0}[before.kind]
        if after.seconds - before.seconds > SETTINGS.pause and after.kind == "on":
            assert down == 0


def test_a_segment_that_is_only_said_and_one_that_is_not_there_are_refused() -> None:
    song = night_ferry()
    segments = running_order(song)
    with pytest.raises(PlanError, match="only said"):
        segment_schedule(song, segments[-1])
    with pytest.raises(PlanError, match="segments 1 to"):
        segment_numbered(segments, len(segments) + 1)

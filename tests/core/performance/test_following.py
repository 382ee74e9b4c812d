"""Following a player note by note."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.performance.following import MATCHED_SECONDS, Follower, Judged, Meant
from core.song.note import Hand

SCALE = tuple(Meant(float(beat), 60 + 2 * beat, Hand.RIGHT) for beat in range(4))


def verdicts(judged: tuple[Judged, ...]) -> list[str]:
    return [one.verdict for one in judged]


@pytest.mark.parametrize(("seconds", "verdict"), [(1.0, "right"), (0.95, "right"), (0.8, "early"), (1.2, "late")])
def test_a_key_is_judged_by_its_moment(seconds: float, verdict: str) -> None:
    (judged,) = Follower(SCALE).press(62, seconds)
    assert (judged.verdict, judged.midi, judged.note) == (verdict, 62, 1)
    assert judged.late == pytest.approx(seconds - 1.0)


def test_a_key_that_is_not_meant_or_not_meant_now_is_wrong() -> None:
    follower = Follower(SCALE)
    assert verdicts(follower.press(61, 1.0)) == ["wrong"]
    assert verdicts(follower.press(66, 0.0)) == ["wrong"]


def test_a_note_counts_once() -> None:
    follower = Follower(SCALE)
    assert verdicts(follower.press(62, 1.0)) == ["right"]
    assert verdicts(follower.press(62, 1.05)) == ["wrong"]


def test_a_repeated_note_goes_to_the_nearer_moment() -> None:
    follower = Follower((Meant(1.0, 60, Hand.RIGHT), Meant(1.3, 60, Hand.RIGHT)))
    assert follower.press(60, 1.28)[0].note == 1
    assert follower.press(60, 1.29)[0].note == 0


def test_a_note_is_missed_when_its_time_is_over_and_only_once() -> None:
    follower = Follower(SCALE)
    follower.press(60, 0.0)
    assert follower.pass_by(1.0 + 0.9 * MATCHED_SECONDS) == ()
    assert follower.pass_by(1.4) == (Judged("missed", 62, 1),)
    assert follower.pass_by(1.5) == ()


def test_hands_that_are_meant_together_and_come_apart_are_said_to() -> None:
    together = (Meant(1.0, 48, Hand.LEFT), Meant(1.0, 72, Hand.RIGHT))
    follower = Follower(together)
    assert verdicts(follower.press(72, 0.95)) == ["right"]
    _, apart = follower.press(48, 1.07)
    assert (apart.verdict, apart.note) == ("apart", 0)
    assert apart.late == pytest.approx(0.12)
    steady = Follower(together)
    steady.press(72, 1.0)
    assert verdicts(steady.press(48, 1.04)) == ["right"]


def test_what_lies_before_the_start_is_neither_meant_nor_missed() -> None:
    follower = Follower(SCALE)
    follower.start_at(2.0)
    assert follower.pass_by(1.9) == ()
    assert follower.next_moment() == 2.0
    assert verdicts(follower.press(62, 1.9)) == ["wrong"]


def test_where_the_music_waited_a_key_is_neither_early_nor_late() -> None:
    assert Follower(SCALE).press(60, 0.3, waited=True) == (Judged("right", 60, 0),)


@settings(max_examples=80, deadline=None)
@given(st.lists(st.tuples(st.floats(0, 5), st.integers(58, 68)), max_size=30))
def test_every_meant_note_is_played_or_missed_exactly_once(keys: list[tuple[float, int]]) -> None:
    follower = Follower(SCALE)
    judged: list[Judged] = []
    for seconds, midi in sorted(keys):
        judged += follower.pass_by(seconds)
        judged += follower.press(midi, seconds)
    judged += follower.pass_by(99.0)
    settled = [one.note for one in judged if one.verdict in ("right", "early", "late", "missed")]
    assert sorted(settled, key=str) == [0, 1, 2, 3]
    assert sum(one.verdict in ("right", "early", "late", "wrong") for one in judged) == len(keys)


def test_what_is_left_before_an_end_is_missed_there() -> None:
    follower = Follower((Meant(0.5, 60, Hand.RIGHT), Meant(1.0, 62, Hand.RIGHT), Meant(2.0, 64, Hand.RIGHT)))
    follower.press(60, 0.5)
    assert [one.midi for one in follower.end_at(1.5)] == [62]
    assert [one.midi for one in follower.end_at(9.0)] == [64]
    assert follower.next_moment() is None


def test_a_key_is_meant_near_a_moment_whether_it_was_played_or_not() -> None:
    follower = Follower((Meant(0.5, 60, Hand.RIGHT),))
    follower.press(60, 0.5)
    assert follower.means(60, 0.3)
    assert not follower.means(60, 1.0)
    assert not follower.means(61, 0.5)

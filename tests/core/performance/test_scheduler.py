"""Playing by a clock that the test holds in its hand."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.performance.schedule import PEDAL_DOWN, SUSTAIN, Schedule, TimedEvent
from core.performance.scheduler import LONGEST_GAP, Due, Scheduler
from core.song.errors import DomainError


def held(start: float, end: float, midi: int) -> list[TimedEvent]:
    return [TimedEvent(start, "on", midi, 80), TimedEvent(end, "off", midi, 0)]


def schedule_of(*notes: tuple[float, float, int], length: float = 4.0) -> Schedule:
    events = [event for one in notes for event in held(*one)]
    return Schedule(tuple(sorted(events, key=lambda event: (event.seconds, event.kind != "off"))), length)


SCALE = schedule_of((0, 1, 60), (1, 2, 62), (2, 3, 64), (3, 4, 65))


def heard(due: tuple[Due, ...]) -> list[tuple[float, str, int]]:
    return [(round(one.at, 6), one.event.kind, one.event.midi) for one in due]


def test_events_come_due_at_their_time_and_the_next_deadline_is_named() -> None:
    scheduler = Scheduler(SCALE)
    scheduler.play(10.0)
    events, deadline = scheduler.due(10.0)
    assert heard(events) == [(10.0, "on", 60)]
    assert deadline == pytest.approx(11.0)
    events, deadline = scheduler.due(11.5)
    assert heard(events) == [(11.0, "off", 60), (11.0, "on", 62)]
    assert deadline == pytest.approx(12.0)


def test_nothing_is_due_before_playing() -> None:
    assert Scheduler(SCALE).due(5.0) == ((), None)


def test_stopping_silences_what_sounds_and_playing_goes_on_from_there() -> None:
    scheduler = Scheduler(SCALE)
    scheduler.play(0.0)
    scheduler.due(1.2)
    scheduler.stop(1.5)
    assert heard(scheduler.due(1.5)[0]) == [(1.5, "off", 62)]
    assert scheduler.due(1.9) == ((), None)
    scheduler.play(3.0)
    assert scheduler.position(3.0) == pytest.approx(1.5)
    assert heard(scheduler.due(3.5)[0]) == [(3.5, "on", 64)]


def test_seeking_silences_and_goes_on_from_the_new_place() -> None:
    scheduler = Scheduler(SCALE)
    scheduler.play(0.0)
    scheduler.due(0.5)
    scheduler.seek(0.5, 3.0)
    assert heard(scheduler.due(0.5)[0]) == [(0.5, "off", 60), (0.5, "on", 65)]


def test_the_end_silences_stops_and_says_so() -> None:
    scheduler = Scheduler(Schedule((TimedEvent(0.0, "on", 60, 80),), 1.0))
    scheduler.play(0.0)
    events, deadline = scheduler.due(1.5)
    assert heard(events) == [(0.0, "on", 60), (1.0, "off", 60)]
    assert deadline is None
    assert scheduler.ended
    assert not scheduler.playing
    assert scheduler.position(9.0) == pytest.approx(1.0)


def test_playing_after_the_end_begins_again() -> None:
    scheduler = Scheduler(SCALE)
    scheduler.play(0.0)
    scheduler.due(1.9)
    scheduler.due(3.8)
    scheduler.due(4.0)
    scheduler.play(6.0)
    assert heard(scheduler.due(6.0)[0]) == [(6.0, "on", 60)]
    assert not scheduler.ended


def test_a_loop_turns_exactly_and_silences_what_crosses_its_end() -> None:
    scheduler = Scheduler(schedule_of((0, 3, 60), (1, 2, 62)))
    scheduler.loop(0.5, 1.5)
    scheduler.seek(0.0, 0.5)
    scheduler.play(0.0)
    assert heard(scheduler.due(1.9)[0]) == [
        (0.5, "on", 62),
        (1.0, "off", 62),
        (1.5, "on", 62),
    ]
    assert scheduler.position(1.9) == pytest.approx(1.4)


def test_a_loop_set_behind_what_is_playing_turns_at_once_and_not_in_a_burst() -> None:
    scheduler = Scheduler(SCALE)
    scheduler.seek(0.0, 3.0)
    scheduler.play(0.0)
    scheduler.due(0.5)
    scheduler.loop(1.0, 2.0)
    assert heard(scheduler.due(0.5)[0]) == [(0.5, "off", 65), (0.5, "on", 62)]
    assert scheduler.position(0.5) == pytest.approx(1.0)


def test_leaving_a_loop_goes_on_to_the_end() -> None:
    scheduler = Scheduler(SCALE)
    scheduler.loop(0.0, 1.0)
    scheduler.play(0.0)
    scheduler.due(0.9)
    scheduler.loop()
    assert heard(scheduler.due(1.5)[0]) == [(1.0, "off", 60), (1.0, "on", 62)]


@pytest.mark.parametrize(("start", "end"), [(-1.0, 2.0), (2.0, 2.01), (3.0, 1.0), (5.0, 9.0)])
def test_a_loop_outside_the_schedule_is_refused(start: float, end: float) -> None:
    with pytest.raises(DomainError, match="loop"):
        Scheduler(SCALE).loop(start, end)


def test_a_change_of_speed_does_not_jump() -> None:
    scheduler = Scheduler(SCALE)
    scheduler.play(0.0)
    scheduler.due(0.5)
    scheduler.set_speed(0.5, 0.5)
    assert scheduler.position(0.5) == pytest.approx(0.5)
    assert scheduler.position(1.5) == pytest.approx(1.0)
    assert heard(scheduler.due(1.5)[0]) == [(1.5, "off", 60), (1.5, "on", 62)]


@pytest.mark.parametrize("factor", [0.0, -1.0, 9.0])
def test_an_impossible_speed_is_refused(factor: float) -> None:
    with pytest.raises(DomainError, match="speed"):
        Scheduler(SCALE).set_speed(0.0, factor)


def test_a_machine_that_slept_wakes_up_silent_and_stopped_where_it_was() -> None:
    scheduler = Scheduler(SCALE)
    scheduler.play(0.0)
    scheduler.due(1.2)
    events, deadline = scheduler.due(1.2 + 3600)
    assert heard(events) == [(3601.2, "off", 62)]
    assert deadline is None
    assert not scheduler.playing
    assert not scheduler.ended
    assert scheduler.position(3602.0) == pytest.approx(1.2)


def test_a_clock_that_runs_back_is_taken_as_standing_still() -> None:
    scheduler = Scheduler(SCALE)
    scheduler.play(0.0)
    scheduler.due(1.2)
    assert scheduler.due(0.3)[0] == ()
    assert scheduler.position(0.3) == pytest.approx(1.2)


def test_loading_stops_and_silences() -> None:
    scheduler = Scheduler(SCALE)
    scheduler.play(0.0)
    scheduler.due(0.2)
    scheduler.load(schedule_of((0, 1, 72)))
    assert heard(scheduler.due(0.3)[0]) == [(0.2, "off", 60)]
    assert scheduler.position(0.3) == 0.0
    assert not scheduler.playing


def test_a_changed_song_is_heard_from_the_next_event_on() -> None:
    scheduler = Scheduler(schedule_of((0, 2, 60), (0, 2, 64), (2, 4, 65)))
    scheduler.play(0.0)
    scheduler.due(1.0)
    scheduler.exchange(1.0, schedule_of((0, 3, 60), (0, 2, 63), (2, 4, 66)), 1.0)
    assert heard(scheduler.due(1.0)[0]) == [(1.0, "off", 64)]
    assert heard(scheduler.due(2.0)[0]) == [(2.0, "on", 66)]
    assert heard(scheduler.due(3.0)[0]) == [(3.0, "off", 60)]


def test_a_schedule_that_strikes_a_key_twice_gets_it_let_go_in_between() -> None:
    events = (TimedEvent(0.0, "on", 60, 80), TimedEvent(0.5, "on", 60, 80))
    scheduler = Scheduler(Schedule(events, 1.0))
    scheduler.play(0.0)
    assert [kind for _, kind, _ in heard(scheduler.due(1.0)[0])] == ["on", "off", "on", "off"]


COMMANDS = st.one_of(
    st.tuples(st.just("wait"), st.sampled_from([0.0, 0.001, 0.03, 0.3, 1.1, 1.9, -1.0])),
    st.tuples(st.just("suspend"), st.sampled_from([2.5, 3600.0])),
    st.tuples(st.just("lose the device"), st.just(0.0)),
    st.tuples(st.just("play"), st.just(0.0)),
    st.tuples(st.just("stop"), st.just(0.0)),
    st.tuples(st.just("seek"), st.floats(-1, 5)),
    st.tuples(st.just("loop"), st.floats(0, 3.5)),
    st.tuples(st.just("unloop"), st.just(0.0)),
    st.tuples(st.just("speed"), st.sampled_from([0.3, 0.5, 1.0, 1.2])),
    st.tuples(st.just("hold"), st.floats(0, 4)),
    st.tuples(st.just("release"), st.just(0.0)),
    st.tuples(st.just("load"), st.just(0.0)),
    st.tuples(st.just("exchange"), st.floats(0, 4)),
)
NOTES = st.tuples(st.floats(0, 3.5), st.floats(0.01, 2), st.integers(60, 64)).map(
    lambda note: (note[0], min(4.0, note[0] + note[1]), note[2])
)


PEDALS = st.lists(st.floats(0, 4), max_size=6, unique=True).map(sorted)


def with_pedal(schedule: Schedule, moments: list[float]) -> Schedule:
    """A schedule with the pedal down and up in turns at some moments."""
    pedal = [
        TimedEvent(seconds, "pedal", SUSTAIN, 0 if place % 2 else PEDAL_DOWN) for place, seconds in enumerate(moments)
    ]
    events = sorted((*schedule.events, *pedal), key=lambda event: event.seconds)
    return replace(schedule, events=tuple(events), length=max(schedule.length, 4.0))


def on_two_channels(schedule: Schedule) -> Schedule:
    """Every second key on a channel of its own, as where each hand has one."""
    return replace(schedule, events=tuple(replace(event, channel=event.midi % 2) for event in schedule.events))


class Listener:
    """Follows what is handed out and holds it against the guarantees."""

    def __init__(self) -> None:
        self.down: set[tuple[int, int]] = set()
        self.pedal = 0
        self.heard_at = float("-inf")

    def hear(self, due: tuple[Due, ...], now: float) -> None:
        for one in due:
            assert one.at >= self.heard_at
            assert one.at <= now + 1e-5
            self.heard_at = one.at
            if one.event.kind == "pedal":
                assert one.event.velocity != self.pedal
                self.pedal = one.event.velocity
            elif one.event.kind == "on":
                assert (one.event.channel, one.event.midi) not in self.down
                self.down.add((one.event.channel, one.event.midi))
            else:
                assert (one.event.channel, one.event.midi) in self.down
                self.down.remove((one.event.channel, one.event.midi))


@settings(max_examples=150, deadline=None)
@given(st.lists(NOTES, max_size=8), PEDALS, st.lists(COMMANDS, max_size=25), st.booleans())
def test_whatever_is_commanded_no_note_and_no_pedal_is_left_sounding(
    notes: list[tuple[float, float, int]],
    pedals: list[float],
    commands: list[tuple[str, float]],
    looks_often: bool,
) -> None:
    schedule = with_pedal(on_two_channels(schedule_of(*notes)), pedals)
    scheduler, listener = Scheduler(schedule), Listener()
    clock = furthest = 100.0
    position, turn_to = 0.0, float("inf")
    for command, value in commands:
        may_run_back = command in ("seek", "load", "exchange", "play")
        match command:
            case "wait" | "suspend":
                slept = scheduler.playing and clock + value - furthest > LONGEST_GAP
                clock += value
                if slept:
                    assert scheduler.position(clock) == position
                    assert not scheduler.playing
            case "lose the device":  # what is played goes on where it is, elsewhere: everything is let go of first
                scheduler.seek(clock, scheduler.position(clock))
            case "play":
                scheduler.play(clock)
            case "stop":
                scheduler.stop(clock)
            case "seek":
                scheduler.seek(clock, value)
            case "loop":
                scheduler.loop(value, value + 0.5)
                turn_to = value
            case "unloop":
                scheduler.loop()
            case "speed":
                scheduler.set_speed(clock, value)
            case "hold":
                scheduler.hold(clock, value)
            case "release":
                scheduler.hold(clock, None)
            case "load":
                scheduler.load(schedule)
            case "exchange":
                scheduler.exchange(clock, schedule, value)
        furthest = max(furthest, clock)
        if looks_often or command == "stop":
            listener.hear(scheduler.due(clock)[0], furthest)
        if command == "stop":
            assert not listener.down
            assert not listener.pedal
            assert scheduler.due(clock) == ((), None)
        assert scheduler.keys_down == listener.down or not looks_often
        if not may_run_back:
            assert scheduler.position(clock) >= min(position, turn_to) - 1e-9
        if command in ("unloop", "load"):
            turn_to = float("inf")
        position = scheduler.position(clock)
        assert 0.0 <= position <= schedule.length
    scheduler.stop(clock)
    listener.hear(scheduler.due(clock)[0], furthest)
    assert not listener.down
    assert not listener.pedal
    assert not scheduler.pedal_is_down


@settings(max_examples=60, deadline=None)
@given(st.lists(NOTES, max_size=8), st.lists(st.floats(0.001, 1.9), min_size=1, max_size=40))
def test_played_through_every_event_is_heard_once_at_its_time_however_often_the_clock_is_looked_at(
    notes: list[tuple[float, float, int]], waits: list[float]
) -> None:
    schedule = schedule_of(*notes)
    straight = Scheduler(schedule)
    straight.play(0.0)
    expected = []
    for step in range(5):
        expected += heard(straight.due(float(step))[0])
    stepwise = Scheduler(schedule)
    stepwise.play(0.0)
    found, clock = [], 0.0
    for wait in [*waits, *[1.0] * 5]:
        clock += wait
        found += heard(stepwise.due(clock)[0])
    assert found == expected


def test_held_music_stands_still_at_its_moment_and_goes_on_from_there() -> None:
    scheduler = Scheduler(SCALE)
    scheduler.play(0.0)
    scheduler.hold(0.0, 1.0)
    assert heard(scheduler.due(0.5)[0]) == [(0.0, "on", 60)]
    assert scheduler.next_deadline == pytest.approx(1.0)
    assert scheduler.due(1.9)[0] == ()
    assert scheduler.position(1.9) == 1.0
    scheduler.hold(1.95, 2.0)
    assert heard(scheduler.due(1.95)[0]) == [(1.95, "off", 60), (1.95, "on", 62)]
    assert scheduler.position(2.45) == pytest.approx(1.5)
    scheduler.hold(2.5, None)
    assert scheduler.position(3.5) == pytest.approx(2.55)


def test_held_music_that_is_stopped_leaves_nothing_sounding() -> None:
    scheduler = Scheduler(SCALE)
    scheduler.play(0.0)
    scheduler.hold(0.0, 1.0)
    scheduler.due(1.5)
    scheduler.stop(1.6)
    assert [one.event.kind for one in scheduler.due(1.6)[0]] == ["off"]
    assert not scheduler.keys_down

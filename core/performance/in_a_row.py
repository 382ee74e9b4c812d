"""Schedules played one after another as a single one, and at another speed."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec.structs import replace

from core.performance.schedule import Schedule, TimedEvent


def in_a_row(schedules: Iterable[Schedule], pause: float = 0.0) -> Schedule:
    """One schedule that plays several in order, with so many seconds of silence between them."""
    events: list[TimedEvent] = []
    positions: list[tuple[float, int, int]] = []
    length = 0.0
    for number, schedule in enumerate(schedules):
        begin = length + pause if number else 0.0
        events += (replace(event, seconds=event.seconds + begin) for event in schedule.events)
        positions += ((seconds + begin, part, tick) for seconds, part, tick in schedule.positions)
        length = begin + schedule.length
    return Schedule(tuple(events), length, tuple(positions))


def at_speed(schedule: Schedule, factor: float) -> Schedule:
    """The same schedule played `factor` times as fast."""
    events = tuple(replace(event, seconds=event.seconds / factor) for event in schedule.events)
    positions = tuple((seconds / factor, part, tick) for seconds, part, tick in schedule.positions)
    return Schedule(events, schedule.length / factor, positions)

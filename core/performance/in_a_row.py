"""Schedules played one after another as a single one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

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

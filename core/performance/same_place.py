"""The same place in another schedule: a changed song, or another choice, goes on where it was."""

from __future__ import annotations

from core.performance.schedule import Schedule

A_MOMENT = 1e-6
"""Seconds after a place at which the next playing of it is looked for."""


def same_place(before: Schedule, seconds: float, after: Schedule) -> float:
    """The seconds of one schedule that are the same place of the song as `seconds` of another.

    A part that is played several times is found as often again; what was still counting in still has as long to
    count, where the other counts in too. A place that is not there any more is the start.
    """
    if not before.positions or not after.positions:
        return 0.0
    music = before.positions[0][0]
    if seconds < music:
        return max(0.0, after.positions[0][0] - (music - seconds))
    part, tick = before.place(seconds)
    begun = sum(when <= seconds for when, number, at in before.positions if (number, at) == (part, 0))
    found, look_from = 0.0, 0.0
    for _ in range(max(1, begun)):
        there = after.seconds_of(part, tick, look_from)
        if there is None:
            break
        found, look_from = there, there + A_MOMENT
    return found

"""Which keys are down at a moment of a schedule."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable

from core.drawing.keyboard import LitKey
from core.performance.schedule import Schedule, TimedEvent

FingerOf = Callable[[TimedEvent], int | None]


class SoundingKeys:
    """Follows a schedule as it plays; going on costs only the events gone by.

    Args:
        schedule: what is played.
        finger_of: the finger that strikes a key, or None where none is known.
    """

    def __init__(self, schedule: Schedule, finger_of: FingerOf) -> None:
        self._events = schedule.events
        self._finger_of = finger_of
        self._next = 0
        self._at = 0.0
        self._down: dict[int, LitKey] = {}

    def at(self, seconds: float) -> dict[int, LitKey]:
        """The keys that are down at a moment, with the hand that plays them."""
        if seconds < self._at:
            self._next, self._down = 0, {}
        self._at = seconds
        until = bisect_right(self._events, seconds, key=lambda event: event.seconds)
        for event in self._events[self._next : until]:
            if event.kind == "on" and event.hand is not None:
                self._down[event.midi] = LitKey(event.hand, self._finger_of(event))
            elif event.kind == "off":
                self._down.pop(event.midi, None)
        self._next = max(self._next, until)
        return dict(self._down)

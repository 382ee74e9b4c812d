"""Which keys are down at a moment of a schedule."""

from __future__ import annotations

from bisect import bisect_right

from core.drawing.keyboard import LitKey
from core.performance.schedule import Schedule
from core.song.note import Hand


class SoundingKeys:
    """Follows a schedule as it plays; going on costs only the events gone by."""

    def __init__(self, schedule: Schedule) -> None:
        self._events = schedule.events
        self._next = 0
        self._at = 0.0
        self._down: dict[int, Hand] = {}

    def at(self, seconds: float) -> dict[int, LitKey]:
        """The keys that are down at a moment, with the hand that plays them."""
        if seconds < self._at:
            self._next, self._down = 0, {}
        self._at = seconds
        until = bisect_right(self._events, seconds, key=lambda event: event.seconds)
        for event in self._events[self._next : until]:
            if event.kind == "on" and event.hand is not None:
                self._down[event.midi] = event.hand
            elif event.kind == "off":
                self._down.pop(event.midi, None)
        self._next = max(self._next, until)
        return {midi: LitKey(hand) for midi, hand in self._down.items()}

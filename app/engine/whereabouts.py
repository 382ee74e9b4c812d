"""Where playing is, as it is heard, and when that is to be reported."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from app.engine.protocol import Position
from core.performance.scheduler import Scheduler

POSITION_SECONDS: Final = 1 / 30
"""Between two reports of the position."""


class Whereabouts:
    """Reports the moment that is heard: what was asked for is heard only when what is queued before it has been.

    Args:
        scheduler: what plays.
        report: called with each position.
        now: the time by which it plays.
        late: seconds after it is due at which something is heard.
    """

    def __init__(
        self,
        scheduler: Scheduler,
        report: Callable[[Position], None],
        now: Callable[[], float],
        late: Callable[[], float],
    ) -> None:
        self._scheduler = scheduler
        self._report = report
        self._now = now
        self._late = late
        self._started_from = 0.0
        self._reported = float("-inf")

    @property
    def seconds(self) -> float:
        """The moment that is heard now."""
        seconds = self._scheduler.position(self._now())
        late = self._late() * self._scheduler.speed
        if not late or not self._scheduler.playing:
            return seconds
        first = self._scheduler.loop_start if seconds < self._started_from else self._started_from
        return max(first, seconds - late)

    def jumped(self) -> None:
        """The position is a new one; nothing before it is reported from now on."""
        self._started_from = self._scheduler.position(self._now())

    def report(self, clock: float, generation: int) -> None:
        """Say where it is."""
        self._reported = clock
        self._report(Position(generation, self.seconds, self._scheduler.playing))

    def wait(self, clock: float, generation: int) -> float:
        """Say where it is if it is time to; seconds until it is again."""
        if clock - self._reported >= POSITION_SECONDS:
            self.report(clock, generation)
        return self._reported + POSITION_SECONDS - clock

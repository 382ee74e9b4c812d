"""A worker that makes the piano's keys ready, out of the way of the sound."""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable, Iterable
from typing import Final

from app.engine.priority import go_later
from core.performance.schedule import Schedule
from core.song.errors import DeviceError
from core.sound.bank import SampleBank

ENDING_SECONDS: Final = 0.3
"""How long the end waits for a key that is being made."""


class KeyMaker:
    """Prepares keys of a bank, one after another, in a thread of its own.

    Attributes:
        needed: whether the bank is what sounds; where it is not, every key counts as ready and none is made.

    Args:
        bank: the bank.
        failed: called with one sentence where a sample cannot be read.
    """

    def __init__(self, bank: SampleBank, failed: Callable[[str], None]) -> None:
        self._bank = bank
        self._failed = failed
        self.needed = True
        self._asked = threading.Condition()
        self._now: deque[tuple[tuple[int, ...], Callable[[], None]]] = deque()
        self._later: deque[int] = deque()
        self._over = False
        self._thread = threading.Thread(target=self._work, name="piano keys", daemon=True)
        self._thread.start()

    def has(self, midis: Iterable[int]) -> bool:
        """Whether all of these keys are ready."""
        return not self.needed or all(self._bank.ready(midi) is not None for midi in midis)

    def want(self, midis: Iterable[int], then: Callable[[], None]) -> None:
        """Make keys ready before anything else and then call `then`, in the worker's thread."""
        with self._asked:
            self._now.append((tuple(midis), then))
            self._asked.notify()

    def want_later(self, midis: Iterable[int]) -> None:
        """Make keys ready, in this order, when nothing is more urgent; in place of those asked for so before."""
        with self._asked:
            self._later = deque(midis if self.needed else ())
            self._asked.notify()

    def close(self) -> None:
        """Make no more keys; the one that is being made is finished."""
        with self._asked:
            self._over = True
            self._asked.notify()
        self._thread.join(ENDING_SECONDS)

    def _work(self) -> None:
        go_later()
        while True:
            with self._asked:
                self._asked.wait_for(lambda: self._now or self._later or self._over)
                if self._over:
                    return
                midis, then = self._now.popleft() if self._now else ((self._later.popleft(),), None)
            try:
                self._bank.prepare_all(midis)
            except DeviceError as error:
                self._failed(str(error))
            if then is not None:
                then()


def keys_from(schedule: Schedule, seconds: float, ahead: float | None = None) -> tuple[int, ...]:
    """The keys that are struck from a moment on, in order; then, without a limit `ahead`, those before it."""
    strikes = [event for event in schedule.events if event.kind == "on"]
    until = float("inf") if ahead is None else seconds + ahead
    keys = [event.midi for event in strikes if seconds <= event.seconds < until]
    if ahead is None:
        keys += [event.midi for event in strikes]
    return tuple(dict.fromkeys(keys))

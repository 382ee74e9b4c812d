"""Reports on their way out: whoever reports does not wait for whoever reads."""

from __future__ import annotations

import queue
import threading
from collections.abc import Callable
from typing import BinaryIO, Final

from app.engine.protocol import Position, Report, line_of

MOST_WAITING: Final = 200
"""With so many reports unread, further positions are dropped: the reader has stopped reading."""
FLUSH_SECONDS: Final = 0.3


class Reporter:
    """Writes reports as lines, in the order they came, in a thread of its own.

    Args:
        out: where they are written.
    """

    def __init__(self, out: BinaryIO) -> None:
        self._out = out
        self._broken: Callable[[], None] = lambda: None
        self._waiting: queue.SimpleQueue[Report | None] = queue.SimpleQueue()
        self._thread = threading.Thread(target=self._write, name="reports", daemon=True)
        self._thread.start()

    def when_broken(self, act: Callable[[], None]) -> None:
        """Have something done once, in the writing thread, where nobody reads any more."""
        self._broken = act

    def report(self, report: Report) -> None:
        """Have a report written; never waits."""
        if isinstance(report, Position) and self._waiting.qsize() > MOST_WAITING:
            return
        self._waiting.put(report)

    def close(self) -> None:
        """Give what is waiting a moment to be written."""
        self._waiting.put(None)
        self._thread.join(FLUSH_SECONDS)

    def _write(self) -> None:
        try:
            while (report := self._waiting.get()) is not None:
                self._out.write(line_of(report))
                self._out.flush()
        except (OSError, ValueError):
            self._broken()

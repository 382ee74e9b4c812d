"""Looks now and then which MIDI ports there are, in a thread of its own."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Final

LOOK_SECONDS: Final = 1.0


class PortWatch:
    """Calls something every `LOOK_SECONDS` until it is closed.

    Args:
        look: looks for ports; a look that fails ends nothing.
    """

    def __init__(self, look: Callable[[], None]) -> None:
        self._look = look
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._work, name="ports", daemon=True)
        self._thread.start()

    def close(self) -> None:
        """Look no more."""
        self._over.set()

    def _work(self) -> None:
        while not self._over.wait(LOOK_SECONDS):
            self._look()

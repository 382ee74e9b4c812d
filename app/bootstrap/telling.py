"""Words on standard error while something slow is made ready: a moving line at a terminal, plain lines elsewhere."""

from __future__ import annotations

import shutil
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol

REWRITE = "\r\x1b[K"
"""Back to the start of the line and clear it: ECMA-48, CR and EL."""
USUAL_WIDTH = 80


class Screen(Protocol):
    """Where the words go: standard error, or a list under test."""

    def write(self, text: str, /) -> object:
        """Writes some text."""

    def flush(self) -> object:
        """Shows what was written."""

    def isatty(self) -> bool:
        """Whether somebody watches."""


@dataclass(slots=True)
class Teller:
    """Says how far a slow piece of work has come.

    Attributes:
        screen: where to write.
        seconds: a clock that only goes forward.
    """

    screen: Screen
    seconds: Callable[[], float] = time.monotonic
    _begun: float = field(default=0.0, init=False)
    _open_line: bool = field(default=False, init=False)
    _latest: str = field(default="", init=False)

    def begin(self, text: str) -> None:
        """Says what is about to happen, on a line that stays."""
        self._begun = self.seconds()
        self.line(text)

    def line(self, text: str) -> None:
        """A line that stays."""
        self._close()
        self.screen.write(f"{text}\n")
        self.screen.flush()

    def step(self, text: str) -> None:
        """One step of many: shown in place at a terminal, a line of its own elsewhere."""
        self._latest = text
        if self.screen.isatty():
            self.tick()
        else:
            self.screen.write(f"  {text}\n")
            self.screen.flush()

    def tick(self) -> None:
        """Shows the present step again with the time that has gone by, so that a long one is not taken for a halt."""
        if not self.screen.isatty() or not self._latest:
            return
        minutes, seconds = divmod(int(self.seconds() - self._begun), 60)
        width = shutil.get_terminal_size((USUAL_WIDTH, 24)).columns - 1
        self.screen.write(REWRITE + f"  {minutes}:{seconds:02d}  {self._latest}"[:width])
        self.screen.flush()
        self._open_line = True

    def end(self, text: str) -> None:
        """Says that it is done and how long it took."""
        self.line(f"{text} ({self.seconds() - self._begun:.0f} s)")
        self._latest = ""

    def _close(self) -> None:
        if self._open_line:
            self.screen.write(REWRITE)
            self._open_line = False

"""An engine for programs without a window: a subprocess, and a thread that hears its reports."""

from __future__ import annotations

import subprocess
import threading
from collections.abc import Callable
from contextlib import suppress
from typing import Final

import msgspec

from app.engine.protocol import Command, Quit, Report, line_of, report_of
from app.engine.remote import RemoteEngine, engine_environment, engine_program

ENDING_SECONDS: Final = 2.0
"""How long an engine may take to end before it is killed."""


class EngineClient(RemoteEngine):
    """Starts an engine and talks to it; to be closed, or used in a ``with`` statement.

    Args:
        heard: called with each report, in a thread of this object's own.
        gone: called in that thread when the engine has ended, whoever ended it.
    """

    def __init__(self, heard: Callable[[Report], None], gone: Callable[[], None] = lambda: None) -> None:
        self._heard = heard
        self._gone = gone
        self._process = subprocess.Popen(
            engine_program(),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,  # sound libraries chatter there
            env=engine_environment(),
        )
        self._sending = threading.Lock()
        self._thread = threading.Thread(target=self._listen, name="engine reports", daemon=True)
        self._thread.start()

    def __enter__(self) -> EngineClient:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @property
    def process_id(self) -> int:
        """Of the engine's process."""
        return self._process.pid

    def send(self, command: Command) -> None:
        """Send a command; nothing happens where the engine has ended."""
        if self._process.stdin is not None:
            with self._sending, suppress(OSError, ValueError):
                self._process.stdin.write(line_of(command))
                self._process.stdin.flush()

    def close(self) -> None:
        """Silence everything and end the engine."""
        self.send(Quit())
        if self._process.stdin is not None:
            with suppress(OSError):
                self._process.stdin.close()
        try:
            self._process.wait(ENDING_SECONDS)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        self._thread.join()
        if self._process.stdout is not None:
            self._process.stdout.close()

    def _listen(self) -> None:
        if self._process.stdout is not None:
            for line in self._process.stdout:
                with suppress(msgspec.DecodeError):
                    self._heard(report_of(line))
        self._gone()

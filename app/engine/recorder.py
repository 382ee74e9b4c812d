"""What is played in, written to disk as it comes.

A file begins with one line that says when it was begun, on which keyboard and, where there was one, at the tempo of
which click; then each message is a line of JSON:
``[seconds, status, data, …]``, seconds by the engine's clock from the file's first message. Every line is handed to
the system at once, so that it is kept also where the program is killed.
"""

from __future__ import annotations

import json
import os
import queue
import threading
from collections.abc import Callable, Sequence
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from core.song.wording import say

ENDING: Final = ".played"
FLUSH_SECONDS: Final = 0.3
KEPT: Final = frozenset({0x80, 0x90, 0xB0})
"""Status bytes of what is kept: keys and controllers."""


class Recorder:
    """Writes messages into a new file of a folder, in a thread of its own; the file is made with the first one.

    Args:
        folder: where the file is made; it is made too.
        keyboard: the name of the port.
        failed: called once with a sentence where the file cannot be written.
        tempo: of the click that is played to, in quarter notes a minute; 0 for none.
    """

    def __init__(self, folder: Path, keyboard: str, failed: Callable[[str], None], tempo: float = 0.0) -> None:
        self._folder = folder
        self._keyboard = keyboard
        self._failed = failed
        self._tempo = tempo
        self._first: float | None = None
        self._waiting: queue.SimpleQueue[bytes | None] = queue.SimpleQueue()
        self._thread = threading.Thread(target=self._write, name="recorder", daemon=True)
        self._thread.start()

    def take(self, seconds: float, message: Sequence[int]) -> None:
        """Keep a message; never waits."""
        if message[0] & 0xF0 in KEPT:
            if self._first is None:
                self._first = seconds
            self._waiting.put(json.dumps([round(seconds - self._first, 6), *message]).encode() + b"\n")

    def close(self) -> None:
        """Give what is waiting a moment to be written."""
        self._waiting.put(None)
        self._thread.join(FLUSH_SECONDS)

    def _write(self) -> None:
        file = None
        try:
            while (line := self._waiting.get()) is not None:
                if file is None:
                    file = self._begin()
                os.write(file, line)
        except OSError as error:
            reason = (error.strerror or str(error)).lower()
            self._failed(
                say(
                    "What is played in cannot be written to {folder}: {reason}; it is heard all the same.",
                    folder=self._folder,
                    reason=reason,
                )
            )
        finally:
            if file is not None:
                with suppress(OSError):
                    os.close(file)

    def _begin(self) -> int:
        self._folder.mkdir(parents=True, exist_ok=True)
        now = datetime.now(UTC).astimezone()
        number, name = 1, f"{now:%Y-%m-%d %H.%M.%S}"
        while True:
            path = self._folder / f"{name}{f' ({number})' if number > 1 else ''}{ENDING}"
            try:
                file = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_APPEND, 0o644)
            except FileExistsError:
                number += 1
                continue
            head: dict[str, str | float] = {"begun": now.isoformat(timespec="seconds"), "keyboard": self._keyboard}
            if self._tempo:
                head["tempo"] = self._tempo
            os.write(file, json.dumps(head, ensure_ascii=False).encode() + b"\n")
            return file

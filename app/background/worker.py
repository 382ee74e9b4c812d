"""The helper process's side: does one task after another until its input ends.

A thread watches the input, so that the process ends at once when the window is gone, even in the middle of a
task and even if the window was killed. What libraries print goes to standard error, never into the results.
"""

from __future__ import annotations

import importlib
import os
import queue
import signal
import sys
import threading
from collections.abc import Callable
from typing import BinaryIO, cast

from app.background.frames import FrameReader, Outcome, Task, pack
from app.languages import speak_language
from core.song.errors import PhrasebenchError
from core.song.wording import say

PIECE_BYTES = 65_536


def do(task: Task) -> Outcome:
    """A task's outcome; an error is turned into one sentence."""
    try:
        module, _, name = task.function.partition(":")
        function = cast("Callable[..., object]", getattr(importlib.import_module(module), name))
        return Outcome(task.number, function(*task.arguments))
    except PhrasebenchError as error:
        return Outcome(task.number, error=str(error))
    except OSError as error:
        name = error.filename if isinstance(error.filename, str) else say("The file")
        reason = (error.strerror or say("cannot be read or written")).lower()
        return Outcome(task.number, error=say("{file}: {reason}.", file=name, reason=reason))
    except Exception as error:
        return Outcome(task.number, error=_unforeseen(error))


def _unforeseen(error: Exception) -> str:
    return say("This went wrong inside the program: {kind}: {error}.", kind=type(error).__name__, error=error)


def main() -> None:
    """Serve tasks from standard input until it ends."""
    # Control-C at a terminal reaches every process of the group; this one ends with its parent, not with a trace.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    speak_language()
    results = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    tasks: queue.SimpleQueue[Task] = queue.SimpleQueue()
    threading.Thread(target=_listen, args=(sys.stdin.buffer, tasks), daemon=True).start()
    while True:
        results.write(pack(do(tasks.get())))
        results.flush()


def _listen(source: BinaryIO, tasks: queue.SimpleQueue[Task]) -> None:
    reader = FrameReader()
    while piece := os.read(source.fileno(), PIECE_BYTES):
        for message in reader.feed(piece):
            if isinstance(message, Task):
                tasks.put(message)
    os._exit(0)

"""One start at a time: two that come together must not make the same environment twice."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from app.bootstrap import CannotStart

if sys.platform == "win32":
    import msvcrt

    def _take(file: IO[str]) -> bool:
        try:
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def _take(file: IO[str]) -> bool:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
        return True


BETWEEN_TRIES = 0.2
"""Seconds between two looks at the lock."""


@contextmanager
def alone(lock: Path, waiting: Callable[[], object]) -> Iterator[None]:
    """Holds a lock file while the block runs; the system lets go of it however the process ends.

    Args:
        lock: the file; it stays, empty, since taking it away would let two starts hold two files of one name.
        waiting: called once if another start holds it.

    Raises:
        CannotStart: the file cannot be made.
    """
    try:
        file = lock.open("a", encoding="utf-8")
    except OSError as error:
        raise CannotStart(
            f"{lock.parent}: no environment can be made in this folder ({error.strerror}); "
            "copy it to a folder of your own and start it there."
        ) from error
    with file:
        if not _take(file):
            waiting()
            while not _take(file):
                time.sleep(BETWEEN_TRIES)
        yield

"""One window for one lesson: two that save the same file in turn would undo each other's work.

The lock is a small file in the program's own folder, not beside the lesson, so that it works in a folder that may
only be read and leaves nothing among the teacher's files. It ends with the process that holds it, however that ends:
Qt looks whether the process named in it is still there.
"""

from __future__ import annotations

import hashlib
from pathlib import Path

from PySide6.QtCore import QLockFile

from core.song.errors import FileOpenElsewhereError
from core.song.wording import say


class LessonLock:
    """The lesson file that this window holds, at most one at a time."""

    def __init__(self, folder: Path) -> None:
        """`folder` is where the program keeps what is its own; it is made when it is needed."""
        self._folder = folder / "open"
        self._path: Path | None = None
        self._lock: QLockFile | None = None

    def hold(self, path: Path) -> None:
        """Hold a lesson file and let go of the one held before.

        Raises:
            FileOpenElsewhereError: another window holds it; then the one held before is still held.
        """
        path = path.resolve()
        if path == self._path:
            return
        lock = self._taken(path)
        self.let_go()
        self._path, self._lock = path, lock

    def let_go(self) -> None:
        """Hold no file any more."""
        if self._lock is not None:
            self._lock.unlock()
        self._path = self._lock = None

    def _taken(self, path: Path) -> QLockFile | None:
        """The lock of a file; None where the program's own folder cannot be written, which must not stop work."""
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
        except OSError:
            return None
        lock = QLockFile(str(self._folder / f"{hashlib.sha256(str(path).encode()).hexdigest()[:24]}.lock"))
        lock.setStaleLockTime(0)  # however long a window stays open, its lock does not grow old
        if lock.tryLock(0):
            return lock
        if lock.error() is QLockFile.LockError.LockFailedError:
            trouble = say("this lesson is open in another window")
            raise FileOpenElsewhereError(path.name, "", trouble, say("go on there, or close it there first"))
        return None

"""Copies of what is not saved yet: where they lie, and how they are written, found and put aside.

The copy of a lesson that has a file lies beside that file, under its name with ``.unsaved`` added; where the folder
cannot be written, and for a lesson without a file, it lies in the program's own folder. A copy is a lesson file like
any other: with its ending taken away it opens.
"""

from __future__ import annotations

import hashlib
import os
from datetime import datetime
from pathlib import Path
from typing import Final

from msgspec import Struct
from PySide6.QtCore import QLockFile

from app.commands.whole_files import write_whole
from core.formats.lesson_file import LessonFile
from core.song.errors import FormatError, PhrasebenchError
from core.song.song import Song
from core.song.wording import say

COPY_ENDING: Final = ".unsaved"
LESSON_ENDING: Final = ".lesson"
SESSION_ENDING: Final = ".session"


class UnsavedCopy(Struct, frozen=True):
    """A copy that was left behind.

    Attributes:
        path: the copy's file.
        song: what it holds.
        written: when, in local time.
    """

    path: Path
    song: Song
    written: datetime


class UnsavedCopies:
    """The copies that this window writes, and those that others left."""

    def __init__(self, folder: Path) -> None:
        """`folder` is where the program keeps what is its own; it is made when it is needed."""
        self._folder = folder / "unsaved"
        self._session = os.urandom(8).hex()
        self._lock: QLockFile | None = None

    def write(self, song: Song, lesson: Path | None) -> Path:
        """Write the copy of a lesson and return its path.

        Args:
            song: the lesson as it is now.
            lesson: the file it belongs to, or None.

        Raises:
            FormatError: it can be written neither beside the lesson nor in the program's own folder.
        """
        data = LessonFile().write("copy", song)
        if lesson is not None:
            beside = beside_lesson(lesson)
            try:
                write_whole({beside: data}, force=True)
            except FormatError:
                pass  # a folder that may only be read: the program's own folder serves
            else:
                return beside
        own = self._own(lesson)
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            trouble = say("the folder for unsaved work cannot be made")
            raise FormatError(str(self._folder), "", trouble, say("save the lesson yourself")) from error
        self._hold_session()
        write_whole({own: data}, force=True)
        return own

    def left_for(self, lesson: Path) -> UnsavedCopy | None:
        """The newest copy that was left behind for a lesson file; None where there is none that can be read."""
        found = [copy for path in (beside_lesson(lesson), self._own(lesson)) if (copy := _read(path)) is not None]
        return max(found, key=lambda copy: copy.written, default=None)

    def left_without_lesson(self) -> tuple[UnsavedCopy, ...]:
        """Copies of lessons that never had a file, left by windows that are no longer there; newest first."""
        orphans = (
            path
            for path in self._folder.glob(f"*{LESSON_ENDING}{COPY_ENDING}")
            if "-" not in path.name and _is_over(path.with_name(path.name.split(".")[0] + SESSION_ENDING))
        )
        found = [copy for path in orphans if (copy := _read(path)) is not None]
        return tuple(sorted(found, key=lambda copy: copy.written, reverse=True))

    def put_aside(self, copy: UnsavedCopy, folder: Path) -> Path:
        """Make a lesson of its own of a copy and return its path; raises FormatError where that cannot be written."""
        stem = copy.path.name.removesuffix(COPY_ENDING).removesuffix(LESSON_ENDING)
        if copy.path.parent == self._folder:
            stem = "".join(letter if letter.isalnum() else "_" for letter in copy.song.title) or "lesson"
        path = free_name(folder, f"{stem}_unsaved_{copy.written:%Y-%m-%d_%H.%M}")
        write_whole({path: copy.path.read_bytes()}, force=False)
        copy.path.unlink(missing_ok=True)
        return path

    def close(self) -> None:
        """Let go of what this window holds; its copies are gone by then."""
        if self._lock is not None:
            self._lock.unlock()
            self._lock = None

    def _own(self, lesson: Path | None) -> Path:
        """Where a copy lies in the program's own folder."""
        if lesson is None:
            return self._folder / f"{self._session}{LESSON_ENDING}{COPY_ENDING}"
        place = hashlib.sha256(str(lesson.resolve()).encode()).hexdigest()[:16]
        return self._folder / f"{place}-{lesson.name}{COPY_ENDING}"

    def _hold_session(self) -> None:
        if self._lock is None:
            self._lock = QLockFile(str(self._folder / f"{self._session}{SESSION_ENDING}"))
            self._lock.setStaleLockTime(0)
            self._lock.tryLock(0)


def beside_lesson(lesson: Path) -> Path:
    """Where the copy of a lesson's unsaved changes lies."""
    return lesson.with_name(lesson.name + COPY_ENDING)


def free_name(folder: Path, stem: str) -> Path:
    """A lesson's path in a folder at which nothing stands yet."""
    path, number = folder / f"{stem}{LESSON_ENDING}", 2
    while path.exists():
        path, number = folder / f"{stem}_{number}{LESSON_ENDING}", number + 1
    return path


def _read(path: Path) -> UnsavedCopy | None:
    try:
        data = path.read_bytes()
        written = datetime.fromtimestamp(path.stat().st_mtime).astimezone()
        return UnsavedCopy(path, LessonFile().read(path.name, data).song, written)
    except (OSError, PhrasebenchError):
        return None


def _is_over(session: Path) -> bool:
    """Whether the window that wrote under this name is no longer there."""
    lock = QLockFile(str(session))
    lock.setStaleLockTime(0)
    return lock.tryLock(0)

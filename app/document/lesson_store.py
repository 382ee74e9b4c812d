"""Lesson files on disk: read whole, written beside and swapped in, never over something that would be lost.

A file that changed on disk since it was opened is not overwritten; nor is one that is broken, foreign or written
by a later version of the program, since nobody can say what would be lost with it.
"""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Final

from msgspec import Struct

from app.commands.whole_files import write_whole
from core.formats.lesson_file import LessonFile
from core.song.errors import FileChangedError, FormatError
from core.song.song import Song
from core.song.wording import say

LESSON_ENDING: Final = ".lesson"


class StoredLesson(Struct, frozen=True):
    """A lesson as its file holds it.

    Attributes:
        path: the file.
        song: the song in it.
        digest: of the file's bytes as they were read or written.
    """

    path: Path
    song: Song
    digest: bytes


def open_lesson(path: Path) -> StoredLesson:
    """Read a lesson file; raises FormatError where it is not there or cannot be read."""
    data = _bytes_of(path)
    return StoredLesson(path, LessonFile().read(path.name, data).song, _digest(data))


def save_lesson(song: Song, path: Path, known: StoredLesson | None = None) -> StoredLesson:
    """Write a lesson file, in the place of an older one.

    Args:
        song: the song.
        path: the file.
        known: what the lesson was opened from or last saved as, or None.

    Raises:
        FileChangedError: the file the lesson belongs to has changed on disk meanwhile.
        FormatError: the file cannot be written, or holds something that must not be lost.
    """
    if path.exists():
        _see_that_nothing_is_lost(path, known)
    data = LessonFile().write(path.name, song)
    write_whole({path: data}, force=True)
    return StoredLesson(path, song, _digest(data))


def digest_on_disk(path: Path) -> bytes | None:
    """The digest of what a file holds now; None where it is not there or cannot be read."""
    try:
        return _digest(path.read_bytes())
    except OSError:
        return None


def _see_that_nothing_is_lost(path: Path, known: StoredLesson | None) -> None:
    data = _bytes_of(path)
    if known is not None and known.path == path:
        if _digest(data) != known.digest:
            trouble = say("it has changed on disk since it was opened")
            raise FileChangedError(path.name, "", trouble, say("save under another name, or open it again"))
        return
    LessonFile().read(path.name, data)


def _bytes_of(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        trouble = (error.strerror or say("it cannot be read")).lower()
        raise FormatError(
            path.name, "", trouble, say("check its name, its folder and your right to read it")
        ) from error


def _digest(data: bytes) -> bytes:
    return hashlib.sha256(data).digest()

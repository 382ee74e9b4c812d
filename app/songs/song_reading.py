"""Bringing the index of songs up to date; done in the helper process, a few files at a time."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from msgspec import Struct

from app.songs.song_entry import LESSON_ENDING, SongEntry, describe_lesson
from app.songs.song_index import SongIndex, Stamp


class FolderNews(Struct, frozen=True):
    """What has changed in a folder since the index was written.

    Attributes:
        changed: paths of lessons that are new or have changed, newest first.
        gone: paths of lessons that are no longer there.
    """

    changed: tuple[str, ...]
    gone: tuple[str, ...]


def folder_news(index: str, folder: str) -> FolderNews:
    """Compare a folder with the index and forget what is gone; raises OSError where the folder cannot be read."""
    found = {path: _stamp(path) for path in _lesson_paths(folder)}
    known: dict[str, Stamp] = {}
    gone: tuple[str, ...] = ()
    with _opened(index) as base:
        if base is not None:
            known = base.stamps(folder)
            gone = tuple(path for path in known if path not in found)
            base.forget(gone)
    changed = [path for path, stamp in found.items() if known.get(path) != stamp]
    changed.sort(key=lambda path: -found[path][0])
    return FolderNews(tuple(changed), gone)


def describe_some(index: str, paths: tuple[str, ...]) -> tuple[SongEntry, ...]:
    """Read some lessons, note them in the index, and return what the list shows of them."""
    described = [(describe_lesson(path), _stamp(path)) for path in paths]
    with _opened(index) as base:
        if base is not None:
            base.put(described)
    return tuple(entry for entry, _ in described)


@contextmanager
def _opened(index: str) -> Iterator[SongIndex | None]:
    """The index for a while; None where it cannot be kept, so that songs are still listed, if without it."""
    try:
        base = SongIndex(Path(index))
    except OSError:
        yield None
        return
    try:
        yield base
    finally:
        base.close()


def _lesson_paths(folder: str) -> list[str]:
    with os.scandir(folder) as entries:
        return [entry.path for entry in entries if entry.name.lower().endswith(LESSON_ENDING) and entry.is_file()]


def _stamp(path: str) -> Stamp:
    try:
        found = Path(path).stat()
    except OSError:
        return (0, 0)
    return (found.st_mtime_ns, found.st_size)

"""Other lessons of a song: asked of the index where there is one, so that nothing is taught twice by oversight."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication

from core.song.standing import PUBLISHED, RECORDED

if TYPE_CHECKING:
    from collections.abc import Iterable

    from app.songs.song_entry import SongEntry


def known_lessons(own_folder: Path, title: str, path: Path | None) -> tuple[SongEntry, ...]:
    """Lessons of a song besides the one in a file; none where no list of songs has been read yet.

    Args:
        own_folder: where the program keeps what is its own.
        title: the song's title.
        path: the lesson that is not meant, or None.
    """
    index_path = own_folder / "songs.sqlite"
    if not index_path.exists():
        return ()
    from app.songs.song_index import SongIndex

    try:
        index = SongIndex(index_path)
    except OSError:
        return ()
    try:
        found = index.lessons_of_song(title)
    finally:
        index.close()
    return tuple(entry for entry in found if Path(entry.path) != path and Path(entry.path).exists())


def taught_before(lessons: Iterable[SongEntry]) -> str:
    """A warning where a song was taught already, else an empty text."""
    taught = [entry for entry in lessons if entry.state in (RECORDED, PUBLISHED)]
    if not taught:
        return ""
    newest = max(taught, key=lambda entry: entry.changed)
    state = {
        RECORDED: QCoreApplication.translate("KnownLessons", "“%1” was taught before: %2 is recorded."),
        PUBLISHED: QCoreApplication.translate("KnownLessons", "“%1” was taught before: %2 is published."),
    }[newest.state]
    return state.replace("%1", newest.title).replace("%2", Path(newest.path).name)

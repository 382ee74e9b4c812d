"""What is known of every lesson, kept between two starts, so that a list of ten thousand is there at once.

The index is an SQLite file with full text. It holds nothing that the lessons do not hold: lost, damaged or of
another version, it is made anew. A lesson's row counts as long as its file's time and size are those noted with it.
The helper process writes it, the window reads it.
"""

from __future__ import annotations

import sqlite3
import zlib
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, Final

import msgspec
from msgspec.structs import replace

from app.songs.song_entry import SongEntry, song_of_title
from core.song.wording import language_code, say

VERSION: Final = 2
"""Raised whenever a row means something else, so that older files are made anew."""

INDEX_NAME: Final = "songs.sqlite"
WAITING_SECONDS: Final = 5.0
"""How long one process waits for the other to finish writing."""

STEP: Final = 1000
"""So many lessons are taken from the index at one go: a few milliseconds."""

TABLES: Final = """
CREATE TABLE lesson (
    path TEXT PRIMARY KEY, folder TEXT NOT NULL, song TEXT NOT NULL,
    time INTEGER NOT NULL, size INTEGER NOT NULL, entry BLOB NOT NULL
) WITHOUT ROWID;
CREATE INDEX lesson_folder ON lesson (folder);
CREATE INDEX lesson_song ON lesson (song);
CREATE VIRTUAL TABLE found USING fts5 (path UNINDEXED, text, tokenize = "unicode61 tokenchars '#♯♭°ø+/'");
"""

Stamp = tuple[int, int]
"""A file's time in nanoseconds and its size in bytes."""


class SongIndex:
    """The index, open.

    Attributes:
        is_renewed: whether it was lost or damaged and has been made anew, so that it knows nothing yet.
    """

    def __init__(self, path: Path) -> None:
        """Open the index, or make it anew where it is lost, damaged or of another version.

        Raises:
            OSError: it can be neither read nor made.
        """
        self._path = path
        self.is_renewed = False
        path.parent.mkdir(parents=True, exist_ok=True)
        try:
            self._base = self._opened()
        except sqlite3.DatabaseError:
            self._base = self._made_anew()

    def close(self) -> None:
        """Close the file."""
        self._base.close()

    def entries(self, folder: str) -> list[SongEntry]:
        """What is known of the lessons of a folder."""
        rows = self._read("SELECT entry FROM lesson WHERE folder = ?", folder)
        return [entry for (data,) in rows if (entry := _entry(data)) is not None]

    def steps(self, folder: str) -> Iterator[tuple[list[SongEntry], bool]]:
        """What is known of the lessons of a folder, `STEP` at a time, each time with whether there is more."""
        try:
            rows = self._base.execute("SELECT entry FROM lesson WHERE folder = ?", (folder,))
            more = True
            while more:
                some = rows.fetchmany(STEP)
                more = len(some) == STEP
                yield [entry for (data,) in some if (entry := _entry(data)) is not None], more
        except sqlite3.DatabaseError as error:
            if not _is_busy(error):
                self._base.close()
                self._base = self._made_anew()

    def stamps(self, folder: str) -> dict[str, Stamp]:
        """Time and size of every file of a folder as they were when it was read."""
        rows = self._read("SELECT path, time, size FROM lesson WHERE folder = ?", folder)
        return {path: (time, size) for path, time, size in rows}

    def put(self, described: Iterable[tuple[SongEntry, Stamp]]) -> None:
        """Note what was found in some files."""
        with self._base:
            for entry, (time, size) in described:
                self._forget(entry.path)
                row = (entry.path, str(Path(entry.path).parent), entry.song, time, size, _data(entry))
                self._base.execute("INSERT INTO lesson VALUES (?, ?, ?, ?, ?, ?)", row)
                self._base.execute("INSERT INTO found VALUES (?, ?)", (entry.path, entry.searched))

    def forget(self, paths: Iterable[str]) -> None:
        """Forget files that are no longer there."""
        with self._base:
            for path in paths:
                self._forget(path)

    def matching(self, text: str) -> set[str] | None:
        """Paths of the lessons in which every word of a text begins a word; None where the text is blank."""
        words = [word for word in text.split() if any(letter.isalnum() for letter in word)]
        if not words:
            return None
        wanted = " ".join('"' + word.replace('"', '""') + '"*' for word in words)
        return {path for (path,) in self._read("SELECT path FROM found WHERE text MATCH ?", wanted)}

    def lessons_of_song(self, title: str) -> list[SongEntry]:
        """What is known of all lessons of one song, wherever they lie."""
        rows = self._read("SELECT entry FROM lesson WHERE song = ?", song_of_title(title))
        return [entry for (data,) in rows if (entry := _entry(data)) is not None]

    def _read(self, query: str, wanted: str) -> list[tuple[Any, ...]]:
        """The rows of a query; none where the file turns out to be damaged, which is then made anew and empty."""
        try:
            return self._base.execute(query, (wanted,)).fetchall()
        except sqlite3.DatabaseError as error:
            if not _is_busy(error):
                self._base.close()
                self._base = self._made_anew()
            return []

    def _made_anew(self) -> sqlite3.Connection:
        for ending in ("", "-wal", "-shm"):
            self._path.with_name(self._path.name + ending).unlink(missing_ok=True)
        self.is_renewed = True
        try:
            return self._opened()
        except sqlite3.DatabaseError as error:
            raise OSError(5, say("the index of songs cannot be made"), str(self._path)) from error

    def _forget(self, path: str) -> None:
        known = self._base.execute("DELETE FROM lesson WHERE path = ?", (path,)).rowcount
        if known:
            self._base.execute("DELETE FROM found WHERE path = ?", (path,))

    def _opened(self) -> sqlite3.Connection:
        base = sqlite3.connect(self._path, timeout=WAITING_SECONDS)
        try:
            base.execute("PRAGMA journal_mode = WAL")
            base.execute("PRAGMA synchronous = NORMAL")
            (version,) = base.execute("PRAGMA user_version").fetchone()
            if version == 0:
                base.executescript(f"BEGIN; {TABLES} PRAGMA user_version = {_version()}; COMMIT;")
            else:
                _see_version(version)
            base.execute("SELECT path FROM found LIMIT 1").fetchone()
        except BaseException:
            base.close()
            raise
        return base


def _is_busy(error: sqlite3.DatabaseError) -> bool:
    """Whether the other process is only writing for longer than one waits."""
    return getattr(error, "sqlite_errorcode", None) in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)


def _version() -> int:
    """The number of these tables; entries are kept as they were said, so that each language has one of its own."""
    code = language_code()
    return VERSION if code == "en" else VERSION + ((zlib.crc32(code.encode()) & 0x7FFF) << 8)


def _see_version(version: int) -> None:
    if version != _version():
        trouble = f"index version {version}"
        raise sqlite3.DatabaseError(trouble)


_READER: Final = msgspec.json.Decoder(SongEntry)


def _data(entry: SongEntry) -> bytes:
    """What is kept of an entry; what typing finds it by stands in the full text and need not be read for a list."""
    return msgspec.json.encode(replace(entry, words=""))


def _entry(data: bytes) -> SongEntry | None:
    try:
        return _READER.decode(data)
    except msgspec.MsgspecError:
        return None

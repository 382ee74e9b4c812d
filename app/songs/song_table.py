"""The list of songs as a table for Qt, with its order and what narrows it.

Ten thousand rows are put in order and narrowed here, in one pass over plain tuples, and not row by row through Qt's
own filter, which would ask Python a million questions at every letter typed.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby
from typing import Any, Final

from msgspec import Struct
from PySide6.QtCore import (
    QAbstractTableModel,
    QCoreApplication,
    QDateTime,
    QLocale,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
)

from app.songs.song_entry import SongEntry
from app.widgets.song_facts import clock
from core.song.standing import DRAFTED, PUBLISHED, RECORDED, STATES, WANTED

Index = QModelIndex | QPersistentModelIndex
TITLE, KEY, CHORDS, PARTS, EFFORT, TIME, STATE, CHANGED = range(8)
NUMBERS: Final = (PARTS, EFFORT, TIME)


class Narrowing(Struct, frozen=True):
    """Which lessons are listed.

    Attributes:
        found: paths that the typed words were found in, or None where nothing was typed.
        state: only lessons of this state, or all where it is empty.
        key: only songs in this key, or all where it is empty.
        most_effort: only songs of at most this effort, 0 … 100.
    """

    found: frozenset[str] | None = None
    state: str = ""
    key: str = ""
    most_effort: float = 100.0

    def takes(self, entry: SongEntry) -> bool:
        """Whether a lesson is listed."""
        return (
            (self.found is None or entry.path in self.found)
            and (not self.state or (entry.state == self.state and not entry.trouble))
            and (not self.key or entry.key == self.key)
            and entry.effort <= self.most_effort
        )


class SongTable(QAbstractTableModel):
    """One row a lesson; lessons of one song stay together."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._known: dict[str, SongEntry] = {}
        self._rows: list[SongEntry] = []
        self._of_song: dict[str, tuple[int, int]] = {}
        self._narrowing = Narrowing()
        self._column, self._order = TITLE, Qt.SortOrder.AscendingOrder

    @property
    def known(self) -> int:
        """How many lessons there are, listed or not."""
        return len(self._known)

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys that occur, in order."""
        return tuple(sorted({entry.key for entry in self._known.values() if entry.key}))

    def exchange(self, entries: Iterable[SongEntry]) -> None:
        """Forget every lesson and take these."""
        self._known = {entry.path: entry for entry in entries}
        self._arrange()

    def put(self, entries: Iterable[SongEntry], gone: Iterable[str] = ()) -> None:
        """Take what has been read anew, and forget what is gone."""
        for path in gone:
            self._known.pop(path, None)
        self._known.update((entry.path, entry) for entry in entries)
        self._arrange()

    def narrow(self, narrowing: Narrowing) -> None:
        """List only some of the lessons."""
        self._narrowing = narrowing
        self._arrange()

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        """Put the lessons in the order of a column; a song with several stands where its first one belongs."""
        self._column, self._order = column, order
        self._arrange()

    def entry(self, row: int) -> SongEntry:
        """The lesson of a row."""
        return self._rows[row]

    def row_of(self, path: str) -> int:
        """The row of a lesson's file, or -1 where it is not listed."""
        return next((row for row, entry in enumerate(self._rows) if entry.path == path), -1)

    def _arrange(self) -> None:
        self.beginResetModel()
        taken = [entry for entry in self._known.values() if self._narrowing.takes(entry)]
        songs = {
            song: sorted(lessons, key=lambda entry: (entry.changed, entry.path))
            for song, lessons in groupby(sorted(taken, key=lambda entry: entry.song), key=lambda entry: entry.song)
        }
        falling = self._order is Qt.SortOrder.DescendingOrder
        best = max if falling else min
        order = sorted(
            songs.values(),
            key=lambda lessons: (best(_order(entry, self._column) for entry in lessons), lessons[0].song),
            reverse=falling,
        )
        self._rows = [entry for lessons in order for entry in lessons]
        self._of_song = {
            entry.path: (number, len(lessons))
            for lessons in songs.values()
            if len(lessons) > 1
            for number, entry in enumerate(lessons, 1)
        }
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008, N802 - Qt's signature
        """How many lessons there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008, N802 - Qt's signature
        """How many things are said of each."""
        return 0 if parent.isValid() else len(self._titles())

    def headerData(  # noqa: N802 - Qt's name
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:  # noqa: ANN401 - Qt's signature
        """What a column says."""
        if orientation is Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return self._titles()[section]
        if orientation is Qt.Orientation.Horizontal and role == Qt.ItemDataRole.TextAlignmentRole:
            return _alignment(section)
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:  # noqa: ANN401 - Qt's signature
        """What is said of a lesson."""
        if not index.isValid():
            return None
        entry = self._rows[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return self._shown(entry, index.column())
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _alignment(index.column())
        if role == Qt.ItemDataRole.ToolTipRole:
            return entry.trouble or "\n".join((entry.path, *filter(None, (self._asked(entry), entry.rights))))
        return None

    def _titles(self) -> tuple[str, ...]:
        return (
            self.tr("Title"),
            self.tr("Key"),
            self.tr("Chords"),
            self.tr("Parts"),
            self.tr("Effort"),
            self.tr("To teach"),
            self.tr("State"),
            self.tr("Last change"),
        )

    def _shown(self, entry: SongEntry, column: int) -> str:
        if column == TITLE:
            number, whole = self._of_song.get(entry.path, (1, 1))
            several = self.tr("%1  ·  %2 of %3").replace("%2", str(number)).replace("%3", str(whole))
            return several.replace("%1", entry.title) if whole > 1 else entry.title
        if entry.trouble:
            return self.tr("cannot be read") if column == KEY else ""
        if column == CHANGED:
            moment = QDateTime.fromSecsSinceEpoch(round(entry.changed))
            return QLocale().toString(moment, QLocale.FormatType.ShortFormat)
        return {
            KEY: entry.key,
            CHORDS: " ".join(entry.chords),
            PARTS: str(entry.parts),
            EFFORT: str(round(entry.effort)) if entry.seconds is not None else "",
            TIME: "" if entry.seconds is None else clock(entry.seconds),
            STATE: state_name(entry.state),
        }[column]

    def _asked(self, entry: SongEntry) -> str:
        """Who asked for a song, and when."""
        if not entry.asked_by and not entry.asked_on:
            return ""
        by = self.tr("asked for by %1").replace("%1", entry.asked_by) if entry.asked_by else self.tr("asked for")
        return f"{by}, {entry.asked_on}" if entry.asked_on else by


def state_name(state: str) -> str:
    """A lesson's state in the language of the window."""
    return {
        WANTED: QCoreApplication.translate("SongTable", "wanted"),
        DRAFTED: QCoreApplication.translate("SongTable", "drafted"),
        RECORDED: QCoreApplication.translate("SongTable", "recorded"),
        PUBLISHED: QCoreApplication.translate("SongTable", "published"),
    }[state]


def _alignment(column: int) -> Qt.AlignmentFlag:
    side = Qt.AlignmentFlag.AlignRight if column in NUMBERS else Qt.AlignmentFlag.AlignLeft
    return side | Qt.AlignmentFlag.AlignVCenter


def _order(entry: SongEntry, column: int) -> Any:  # noqa: ANN401 - text or number, the same in one column
    return {
        TITLE: entry.title.casefold(),
        KEY: entry.key,
        CHORDS: " ".join(entry.chords),
        PARTS: float(entry.parts),
        EFFORT: entry.effort,
        TIME: entry.seconds or 0.0,
        STATE: float(STATES.index(entry.state)),
        CHANGED: entry.changed,
    }[column]

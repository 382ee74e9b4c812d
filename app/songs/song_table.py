"""The list of songs as a table for Qt, and its filter and order."""

from __future__ import annotations

from typing import Any, Final

from PySide6.QtCore import (
    QAbstractTableModel,
    QDateTime,
    QLocale,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QSortFilterProxyModel,
    Qt,
)

from app.songs.song_entry import SongEntry
from app.widgets.song_facts import clock

Index = QModelIndex | QPersistentModelIndex
SORT_ROLE: Final = Qt.ItemDataRole.UserRole
TITLE, KEY, CHORDS, PARTS, EFFORT, TIME, CHANGED = range(7)
NUMBERS: Final = (PARTS, EFFORT, TIME)


class SongTable(QAbstractTableModel):
    """One row a lesson."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._entries: list[SongEntry] = []

    def clear(self) -> None:
        """Forget every lesson."""
        self.beginResetModel()
        self._entries = []
        self.endResetModel()

    def add(self, entry: SongEntry) -> None:
        """Add a lesson."""
        row = len(self._entries)
        self.beginInsertRows(QModelIndex(), row, row)
        self._entries.append(entry)
        self.endInsertRows()

    def entry(self, row: int) -> SongEntry:
        """The lesson of a row."""
        return self._entries[row]

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008, N802 - Qt's signature
        """How many lessons there are."""
        return 0 if parent.isValid() else len(self._entries)

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
        entry = self._entries[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return self._shown(entry, index.column())
        if role == SORT_ROLE:
            return _order(entry, index.column())
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _alignment(index.column())
        if role == Qt.ItemDataRole.ToolTipRole:
            return entry.trouble or entry.path
        return None

    def _titles(self) -> tuple[str, ...]:
        return (
            self.tr("Title"),
            self.tr("Key"),
            self.tr("Chords"),
            self.tr("Parts"),
            self.tr("Effort"),
            self.tr("To teach"),
            self.tr("Last change"),
        )

    def _shown(self, entry: SongEntry, column: int) -> str:
        if column == TITLE:
            return entry.title
        if entry.trouble:
            return self.tr("cannot be read") if column == KEY else ""
        if column == CHANGED:
            moment = QDateTime.fromSecsSinceEpoch(round(entry.changed))
            return QLocale().toString(moment, QLocale.FormatType.ShortFormat)
        return {
            KEY: entry.key,
            CHORDS: " ".join(entry.chords),
            PARTS: str(entry.parts),
            EFFORT: str(round(entry.effort)),
            TIME: "" if entry.seconds is None else clock(entry.seconds),
        }[column]


def _alignment(column: int) -> Qt.AlignmentFlag:
    side = Qt.AlignmentFlag.AlignRight if column in NUMBERS else Qt.AlignmentFlag.AlignLeft
    return side | Qt.AlignmentFlag.AlignVCenter


def _order(entry: SongEntry, column: int) -> str | float:
    orders: dict[int, str | float] = {
        TITLE: entry.title.casefold(),
        KEY: entry.key,
        CHORDS: " ".join(entry.chords),
        PARTS: float(entry.parts),
        EFFORT: entry.effort,
        TIME: entry.seconds or 0.0,
        CHANGED: entry.changed,
    }
    return orders[column]


class FilteredSongs(QSortFilterProxyModel):
    """The lessons that hold every word typed, in the order asked for."""

    def __init__(self, table: SongTable, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._table = table
        self._words: tuple[str, ...] = ()
        self.setSourceModel(table)
        self.setSortRole(SORT_ROLE)
        self.setDynamicSortFilter(True)

    def look_for(self, text: str) -> None:
        """Keep the lessons in which every word of a text is found."""
        self._words = tuple(text.casefold().split())
        self.invalidate()

    def filterAcceptsRow(self, source_row: int, source_parent: Index) -> bool:  # noqa: ARG002, N802 - Qt's name
        """Whether a lesson holds every word."""
        searched = self._table.entry(source_row).searched
        return all(word in searched for word in self._words)

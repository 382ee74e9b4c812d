"""The list of songs as a table for Qt, with its order and what narrows it.

Ten thousand rows are put in order and narrowed here, in one pass over plain tuples, and not row by row through Qt's
own filter, which would ask Python a million questions at every letter typed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
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
COLUMNS: Final = 8
NUMBERS: Final = (PARTS, EFFORT, TIME)
CHORDS_NAMED: Final = 8
"""How many different chords of a song are listed."""


class Narrowing(Struct, frozen=True):
    """Which lessons are listed.

    Attributes:
        found: paths that the typed words were found in, or None where nothing was typed.
        state: only lessons of this state, or all where it is empty.
        key: only songs in this key, or all where it is empty.
        most_effort: only songs of at most this effort, 0 … 100.
        chords: only songs that have all of these chords, named as `SongEntry.chords` has them.
        no_others: only songs that have no chords but these.
    """

    found: frozenset[str] | None = None
    state: str = ""
    key: str = ""
    most_effort: float = 100.0
    chords: frozenset[str] = frozenset()
    no_others: bool = False

    def takes(self, entry: SongEntry) -> bool:
        """Whether a lesson is listed."""
        return (
            (self.found is None or entry.path in self.found)
            and (not self.state or (entry.state == self.state and not entry.trouble))
            and (not self.key or entry.key == self.key)
            and entry.effort <= self.most_effort
            and (not self.chords or self._has_chords(frozenset(entry.chords)))
        )

    def _has_chords(self, chords: frozenset[str]) -> bool:
        """Whether all wanted chords are there; where there may be no others, any of them and nothing else."""
        return bool(chords) and chords <= self.chords if self.no_others else self.chords <= chords


class SongTable(QAbstractTableModel):
    """One row a lesson; lessons of one song stay together."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._known: dict[str, SongEntry] = {}
        self._rows: list[SongEntry] = []
        self._row_of: dict[str, int] | None = None
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
        """Take what has been read anew, and forget what is gone; `narrow` lists it."""
        for path in gone:
            self._known.pop(path, None)
        self._known.update((entry.path, entry) for entry in entries)

    def finding(self, text: str) -> frozenset[str] | None:
        """Paths of the lessons in which every word of a text begins a word, found without an index; None for none."""
        wanted = text.casefold().split()
        if not wanted:
            return None
        return frozenset(
            path
            for path, entry in self._known.items()
            if all(any(word.startswith(start) for word in entry.searched.casefold().split()) for start in wanted)
        )

    def narrow(self, narrowing: Narrowing) -> None:
        """List only some of the lessons."""
        self._narrowing = narrowing
        self._arrange()

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        """Put the lessons in the order of a column; a song with several stands where its first one belongs."""
        if (column, order) != (self._column, self._order):  # Qt asks twice
            self._column, self._order = column, order
            self._arrange()

    def entry(self, row: int) -> SongEntry:
        """The lesson of a row."""
        return self._rows[row]

    def row_of(self, path: str) -> int:
        """The row of a lesson's file, or -1 where it is not listed."""
        if self._row_of is None:
            self._row_of = {entry.path: row for row, entry in enumerate(self._rows)}
        return self._row_of.get(path, -1)

    def _arrange(self) -> None:
        self.beginResetModel()
        takes = self._narrowing.takes
        songs: dict[str, list[SongEntry]] = {}
        for entry in self._known.values():
            if takes(entry):
                songs.setdefault(entry.song, []).append(entry)
        self._of_song = {}
        order, falling = _ORDERS[self._column], self._order is Qt.SortOrder.DescendingOrder
        best = max if falling else min
        places: list[tuple[Any, str]] = []
        for song, lessons in songs.items():
            if len(lessons) == 1:
                places.append((order(lessons[0]), song))
                continue
            lessons.sort(key=_age)
            self._of_song.update((entry.path, (number, len(lessons))) for number, entry in enumerate(lessons, 1))
            places.append((best(map(order, lessons)), song))
        places.sort(reverse=falling)
        self._rows = [entry for _, song in places for entry in songs[song]]
        self._row_of = None
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008, N802 - Qt's signature
        """How many lessons there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008, N802 - Qt's signature
        """How many things are said of each."""
        return 0 if parent.isValid() else COLUMNS  # asked tens of thousands of times when all rows are selected

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
        if column == CHORDS:
            return " ".join(entry.chords[:CHORDS_NAMED]) if entry.chords else self._asked(entry)
        return {
            KEY: entry.key,
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


def _age(entry: SongEntry) -> tuple[float, str]:
    """Lessons of one song stand in the order in which they were changed."""
    return entry.changed, entry.path


_STATES: Final = {state: place for place, state in enumerate(STATES)}
_ORDERS: Final[dict[int, Callable[[SongEntry], Any]]] = {
    TITLE: lambda entry: entry.title.casefold(),
    KEY: lambda entry: entry.key,
    CHORDS: lambda entry: entry.chords,
    PARTS: lambda entry: entry.parts,
    EFFORT: lambda entry: entry.effort,
    TIME: lambda entry: entry.seconds or 0.0,
    STATE: lambda entry: (_STATES[entry.state], entry.asked_on or _NEVER_ASKED),
    CHANGED: lambda entry: entry.changed,
}
"""What lessons are put in order by; those of one state by the day somebody asked for them."""
_NEVER_ASKED: Final = "9999-12-31"

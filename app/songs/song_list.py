"""The list of songs on the screen: as many lines to a row as its title needs, columns as wide as what they hold.

Only the rows in sight are measured, so that a list of ten thousand scrolls as one of ten.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QFontMetrics, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from app.songs.song_table import CHANGED, CHORDS, EFFORT, KEY, PARTS, STATE, TIME, TITLE, SongTable

WIDEST: Final = {
    KEY: "G♯ Mixolydian",
    PARTS: "Parts ▾",
    EFFORT: "Effort ▾",
    TIME: "To teach ▾",
    STATE: "published ▾",
    CHANGED: "28.12.2026 23:59",
}
"""A text as wide as a column's widest."""
WIDEST_WORD: Final = {**WIDEST, KEY: "Mixolydian", CHANGED: "28.12.2026"}
"""The same where there is no room for it on one line."""
COMFORTABLE: Final = {TITLE: "The Lamplighter's Waltz, slowly", CHORDS: "C♯m F♯m G♯7 A"}
"""A title and chords that should stand on one line, if columns can be made narrower for them."""
LEAST: Final = {TITLE: "Lamplighter's", CHORDS: "C♯m F♯m"}
"""What they need at least; the list is moved sideways where there is less."""
CELL_PADDING: Final = 30
CELL_MARGIN: Final = 22
"""Pixels that the style sheet and Qt keep free in a cell."""
ROW_HEIGHT: Final = 34
ROW_MARGIN: Final = 12
TALLEST: Final = 10_000
"""Pixels: no cell has more lines."""
MOST_SCROLLS: Final = 5
BREAK: Final = "\N{ZERO WIDTH SPACE}"


class Cell(QStyledItemDelegate):
    """A text in as many lines as it needs; a word that is longer than the column goes on in the next line."""

    def initStyleOption(  # noqa: N802 - Qt's name
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Let words that are too long be broken."""
        super().initStyleOption(option, index)
        option.text = with_breaks(option.text, option.fontMetrics, option.rect.width() - CELL_MARGIN)

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:  # noqa: N802 - Qt's name
        """As high as the lines are in the column's width; Qt's own measure forgets the padding."""
        letters, room = option.fontMetrics, option.rect.width() - CELL_MARGIN
        text = with_breaks(str(index.data()), letters, room)
        lines = letters.boundingRect(QRect(0, 0, max(1, room), TALLEST), Qt.TextFlag.TextWordWrap.value, text)
        return QSize(lines.width() + CELL_MARGIN, lines.height() + ROW_MARGIN)


def with_breaks(text: str, letters: QFontMetrics, room: int) -> str:
    """A text whose words can be broken where they are wider than a room in pixels."""
    if room <= 0 or letters.horizontalAdvance(text) <= room:
        return text
    return " ".join(BREAK.join(word) if letters.horizontalAdvance(word) > room else word for word in text.split(" "))


class SongList(QTableView):
    """The table; Enter opens, a letter begins to filter."""

    opened = Signal(QModelIndex)
    """The row that was chosen to be opened."""
    typed = Signal(str)
    """A letter was typed."""

    def __init__(self, table: SongTable, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._is_fitting = False
        self._choice: tuple[str, str, bool, bool] | None = None
        self.setModel(table)
        self.setAccessibleName(self.tr("Songs"))
        self.setItemDelegate(Cell(self))
        self.setSortingEnabled(True)
        self.sortByColumn(TITLE, Qt.SortOrder.AscendingOrder)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setAlternatingRowColors(True)
        self.setShowGrid(False)
        self.setWordWrap(True)
        self.setTabKeyNavigation(False)
        self.verticalHeader().hide()
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        header.setHighlightSections(False)
        self._fitting = QTimer(self)
        self._fitting.setSingleShot(True)
        self._fitting.setInterval(0)
        self._fitting.timeout.connect(self.fit_rows)
        self.verticalScrollBar().valueChanged.connect(self.fit_rows)
        header.sectionResized.connect(lambda *_: self._fitting.start())
        table.modelReset.connect(self._fitting.start)
        self._share_out()

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Open with Enter; hand letters to the filter."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if self.currentIndex().isValid():
                self.opened.emit(self.currentIndex())
            return
        text = event.text()
        if text and text.isprintable() and not text.isspace():
            self.typed.emit(text)
            return
        super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Share the new width out."""
        super().resizeEvent(event)
        self._fitting.start()

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """A larger text needs wider columns and higher rows."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.FontChange:
            self._fitting.start()

    def scrollTo(  # noqa: N802 - Qt's name
        self,
        index: QModelIndex | QPersistentModelIndex,
        hint: QAbstractItemView.ScrollHint = QAbstractItemView.ScrollHint.EnsureVisible,
    ) -> None:
        """Bring a row into sight whole, also where the rows about it turn out higher than they were thought."""
        for _ in range(MOST_SCROLLS):
            heights = self.verticalHeader().length()
            super().scrollTo(index, hint)
            self.fit_rows()
            self.updateGeometries()
            if self.verticalHeader().length() == heights:
                break

    def fit_rows(self) -> None:
        """Give the rows in sight as many lines as they need."""
        if self._is_fitting:
            return
        self._is_fitting = True
        self._share_out()
        row, bottom = max(0, self.rowAt(0)), self.viewport().height()
        while row < self.model().rowCount() and self.rowViewportPosition(row) < bottom:
            self.resizeRowToContents(row)
            row += 1
        self._is_fitting = False

    def _share_out(self) -> None:
        """Make columns as wide as what they hold, or as its longest word where titles would have no room.

        What somebody has dragged to another width stays so until there is another choice to be made.
        """
        letters, header = self.fontMetrics(), self.horizontalHeader()

        def widths(texts: Mapping[int, str]) -> dict[int, int]:
            return {
                column: max(letters.horizontalAdvance(text) + CELL_PADDING, header.sectionSizeHint(column))
                for column, text in texts.items()
            }

        wide, narrow, room = widths(WIDEST), widths(WIDEST_WORD), self.viewport().width()
        is_narrow = sum(wide.values()) + sum(widths(COMFORTABLE).values()) > room
        least = widths(LEAST)
        is_moved = sum(narrow.values()) + sum(least.values()) > room
        choice = (self.font().key(), header.font().key(), is_narrow, is_moved)
        if choice == self._choice:
            return
        self._choice = choice
        height = max(ROW_HEIGHT, letters.height() + ROW_MARGIN)
        self.verticalHeader().setMinimumSectionSize(height)
        self.verticalHeader().setDefaultSectionSize(height)
        stretches = QHeaderView.ResizeMode.Interactive if is_moved else QHeaderView.ResizeMode.Stretch
        for column, width in {**(narrow if is_narrow else wide), **least}.items():
            if column in LEAST:
                header.setSectionResizeMode(column, stretches)
            if column not in LEAST or is_moved:
                header.resizeSection(column, width)

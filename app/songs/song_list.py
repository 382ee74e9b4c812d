"""The list of songs on the screen: as many lines to a row as its title needs, columns as wide as what they hold.

Only the rows in sight are measured, so that a list of ten thousand scrolls as one of ten.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final

from PySide6.QtCore import (
    QEvent,
    QItemSelection,
    QItemSelectionModel,
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    QSize,
    Qt,
    QTimer,
    Signal,
)
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
COMMANDING: Final = (
    Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier | Qt.KeyboardModifier.MetaModifier
)
"""Modifiers with which a letter is a command and not the beginning of what is looked for."""
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
        text = str(index.data())
        width = letters.horizontalAdvance(text)
        if width < room:  # whole pixels: one of the same width may turn out a little wider
            return QSize(width + CELL_MARGIN, letters.height() + ROW_MARGIN)
        text = with_breaks(text, letters, room)
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
        self._table = table
        self._selected: list[str] = []
        self._top = ""
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
        table.modelAboutToBeReset.connect(self._remember)
        table.modelReset.connect(self._recall)
        table.modelReset.connect(self._fitting.start)
        header.sortIndicatorChanged.connect(self.show_current)
        self._share_out()

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Open with Enter; hand letters to the filter."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if self.currentIndex().isValid():
                self.opened.emit(self.currentIndex())
            return
        text = event.text()
        if text.isprintable() and text.strip() and not event.modifiers() & COMMANDING:
            self.typed.emit(text)
            return
        super().keyPressEvent(event)

    @property
    def selected_rows(self) -> list[int]:
        """The rows that are selected, from top to bottom; ten thousand are as many stretches as there are gaps."""
        chosen = self.selectionModel().selection()
        stretches = [chosen.at(place) for place in range(chosen.count())]
        return sorted({row for stretch in stretches for row in range(stretch.top(), stretch.bottom() + 1)})

    def select_rows(self, rows: Iterable[int]) -> None:
        """Select rows and no others, and make the first of them the current one."""
        wanted = sorted(rows)
        selection = QItemSelection()
        model, last = self.model(), self.model().columnCount() - 1
        first = before = -1
        for row in [*wanted, -1]:
            if row != before + 1 or first < 0:
                if first >= 0:
                    selection.select(model.index(first, 0), model.index(before, last))
                first = row
            before = row
        choice, flag = self.selectionModel(), QItemSelectionModel.SelectionFlag
        choice.select(selection, flag.ClearAndSelect)
        if wanted:
            choice.setCurrentIndex(model.index(wanted[0], 0), flag.NoUpdate)

    def show_current(self) -> None:
        """Bring the current row into sight."""
        if self.currentIndex().isValid():
            self.scrollTo(self.currentIndex())

    def _remember(self) -> None:
        """Note what is selected and what stands at the top, before the rows become others."""
        table = self._table
        self._selected = [table.entry(row).path for row in self.selected_rows]
        top = self.rowAt(0)
        self._top = table.entry(top).path if 0 <= top < table.rowCount() else ""

    def _recall(self) -> None:
        """Select the same lessons as before, as far as they are listed, and let the list stand where it stood."""
        table = self._table
        self.select_rows(row for path in self._selected if (row := table.row_of(path)) >= 0)
        top = table.row_of(self._top)
        if top >= 0:
            self.scrollTo(table.index(top, 0), QAbstractItemView.ScrollHint.PositionAtTop)

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
        self.executeDelayedItemsLayout()
        self.updateGeometries()  # rows that have just come have to be counted before the list can be moved to them
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

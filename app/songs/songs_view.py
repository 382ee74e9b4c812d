"""The list of a folder's lessons: type to filter, sort by any column, open."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QFileDialog, QHBoxLayout, QHeaderView, QTableView, QVBoxLayout, QWidget

from app.background.slow_work import SlowWork
from app.resources import demo_songs
from app.songs.song_entry import SongEntry, describe_lesson, lessons_in
from app.songs.song_table import CHANGED, CHORDS, EFFORT, KEY, PARTS, TIME, TITLE, FilteredSongs, SongTable
from app.widgets.button import Button
from app.widgets.labels import label
from app.widgets.text_editors import LineField

LISTING = "songs"
WIDEST: Final = {
    KEY: "G♯ Mixolydian",
    PARTS: "Parts ▾",
    EFFORT: "Effort ▾",
    TIME: "To teach ▾",
    CHANGED: "28.12.2026 23:59",
}
"""A text as wide as a column's widest."""
CELL_PADDING: Final = 30


class SongList(QTableView):
    """The table; Enter opens, a letter begins to filter."""

    opened = Signal(QModelIndex)
    """The row that was chosen to be opened."""
    typed = Signal(str)
    """A letter was typed."""

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


class SongsView(QWidget):
    """The lessons of the chosen folder; of the demo songs where none was chosen yet."""

    open_wanted = Signal(str)
    """Path of the lesson to open."""
    folder_chosen = Signal(str)
    """The folder to list from now on."""

    def __init__(self, slow_work: SlowWork, folder: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._slow_work = slow_work
        self._folder = folder
        self._left = 0
        self._current = ""
        self.table = SongTable(self)
        self.filtered = FilteredSongs(self.table, self)
        self.where = label("", self, look="heading")
        self.count = label("", self, look="quiet")
        self.filter = LineField(self)
        self.filter.setPlaceholderText(self.tr("Type to filter by title, key or chord"))
        self.filter.setAccessibleName(self.tr("Filter the songs"))
        self.filter.setClearButtonEnabled(True)
        self.filter.textChanged.connect(self._look_for)
        self.filter.cancelled.connect(self.filter.clear)
        self.filter.returnPressed.connect(self._open_first)
        self.choose = Button(self.tr("Choose folder…"), self, does=self.choose_folder)
        self.again = Button(
            self.tr("Read again"), self, name=self.tr("Read the folder again"), does=lambda: self.refresh()
        )
        self.open = Button(self.tr("Open"), self, name=self.tr("Open the selected song"), does=self._open_selected)
        self.list = SongList(self)
        self._dress_list()
        above = QHBoxLayout()
        above.setSpacing(8)
        above.addWidget(self.where)
        above.addWidget(self.count)
        above.addStretch()
        above.addWidget(self.again)
        above.addWidget(self.choose)
        below = QHBoxLayout()
        below.setSpacing(8)
        below.addWidget(self.filter, 1)
        below.addWidget(self.open)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(20, 16, 20, 16)
        layout.setSpacing(12)
        layout.addLayout(above)
        layout.addLayout(below)
        layout.addWidget(self.list, 1)

    def _dress_list(self) -> None:
        self.list.setModel(self.filtered)
        self.list.setAccessibleName(self.tr("Songs"))
        self.list.setSortingEnabled(True)
        self.list.sortByColumn(TITLE, Qt.SortOrder.AscendingOrder)
        self.list.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.list.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.list.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.list.setAlternatingRowColors(True)
        self.list.setShowGrid(False)
        self.list.setWordWrap(False)
        self.list.setTabKeyNavigation(False)
        self.list.verticalHeader().hide()
        self.list.verticalHeader().setDefaultSectionSize(34)
        header = self.list.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        header.setSectionResizeMode(TITLE, QHeaderView.ResizeMode.Stretch)
        header.setSectionResizeMode(CHORDS, QHeaderView.ResizeMode.Stretch)
        header.setHighlightSections(False)
        letters = self.fontMetrics()
        for column, widest in WIDEST.items():
            header.resizeSection(column, letters.horizontalAdvance(widest) + CELL_PADDING)
        self.list.doubleClicked.connect(self._open)
        self.list.opened.connect(self._open)
        self.list.typed.connect(self._begin_filter)

    @property
    def is_reading(self) -> bool:
        """Whether the folder is still being read."""
        return self._left > 0

    def choose_folder(self) -> None:
        """Ask for another folder."""
        dialog = QFileDialog(self, self.tr("Folder of lessons"), self._folder or str(Path.home()))
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.setFileMode(QFileDialog.FileMode.Directory)
        dialog.setOption(QFileDialog.Option.ShowDirsOnly)
        dialog.fileSelected.connect(self.show_folder)
        dialog.open()

    def show_folder(self, folder: str) -> None:
        """List another folder."""
        self._folder = folder
        self.folder_chosen.emit(folder)
        self.refresh()

    def refresh(self, current: Path | None = None) -> None:
        """Read the folder anew, in the background.

        Args:
            current: the lesson that is open, which is selected once it has been read.
        """
        self._current = str(current) if current else self._current
        self._slow_work.forget(LISTING)
        self.table.clear()
        self._left = 0
        self.where.setText(self._folder or self.tr("Demo lessons"))
        self.count.setText(self.tr("reading…"))
        if self._folder:
            self._slow_work.start(
                lessons_in, self._folder, done=self._read_lessons, failed=self._not_read, name=LISTING
            )
        else:
            self._read_lessons([str(path) for path in demo_songs()])

    def _read_lessons(self, paths: Sequence[str]) -> None:
        self._left = len(paths)
        for path in paths:
            self._slow_work.start(describe_lesson, path, done=self._add, failed=self._skip, name="", group=LISTING)
        self._say_count()

    def _add(self, entry: SongEntry) -> None:
        self.table.add(entry)
        self._skip("")
        if entry.path == self._current or not self.list.currentIndex().isValid():
            row = self.filtered.mapFromSource(self.table.index(self.table.rowCount() - 1, TITLE)).row()
            self.list.selectRow(max(0, row))

    def _skip(self, sentence: str) -> None:  # noqa: ARG002 - the row is simply not there
        self._left -= 1
        self._say_count()

    def _not_read(self, sentence: str) -> None:
        self.count.setText(sentence)

    def _say_count(self) -> None:
        shown, whole = self.filtered.rowCount(), self.table.rowCount()
        if self._left > 0:
            text = self.tr("reading, %1 to go").replace("%1", str(self._left))
        elif not whole:
            text = self.tr("no lessons here yet: save one into this folder")
        elif shown != whole:
            text = self.tr("%1 of %2 songs").replace("%1", str(shown)).replace("%2", str(whole))
        else:
            text = self.tr("%1 songs").replace("%1", str(whole)) if whole != 1 else self.tr("1 song")
        self.count.setText(text)

    def _look_for(self, text: str) -> None:
        self.filtered.look_for(text)
        if self.filtered.rowCount() and not self.list.currentIndex().isValid():
            self.list.selectRow(0)
        self._say_count()

    def _begin_filter(self, text: str) -> None:
        self.filter.setFocus(Qt.FocusReason.OtherFocusReason)
        self.filter.setText(self.filter.text() + text)

    def _open_first(self) -> None:
        if self.filtered.rowCount():
            self._open(self.list.currentIndex() if self.list.currentIndex().isValid() else self.filtered.index(0, 0))

    def _open_selected(self) -> None:
        if self.list.currentIndex().isValid():
            self._open(self.list.currentIndex())

    def _open(self, index: QModelIndex) -> None:
        entry = self.table.entry(self.filtered.mapToSource(index).row())
        self.open_wanted.emit(entry.path)

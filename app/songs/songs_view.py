"""The list of a folder's lessons: type to filter, sort by any column, open."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Final

from PySide6.QtCore import QElapsedTimer, QEvent, QModelIndex, Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QComboBox, QHBoxLayout, QVBoxLayout, QWidget

from app.background.slow_work import SlowWork
from app.resources import demo_songs
from app.songs.chord_filter import ChordFilter
from app.songs.song_entry import SongEntry
from app.songs.song_index import INDEX_NAME, SongIndex
from app.songs.song_list import SongList
from app.songs.song_reading import FolderNews
from app.songs.song_table import Narrowing, SongTable, state_name
from app.widgets.button import Button
from app.widgets.file_dialog import folder_dialog
from app.widgets.labels import label
from app.widgets.text_editors import LineField
from core.song.standing import STATES

LISTING: Final = "songs"
READING: Final = "app.songs.song_reading"
"""Named, not imported: what it needs takes long to load, and only the helper process needs it."""
READ_AT_ONCE: Final = 8
SHOWING_MILLISECONDS: Final = 250
SHARE_OF_SHOWING: Final = 40
"""A list that is long takes longer to show; it is then shown less often, so that no more than one part in so many of
the time goes into it while a folder is being read."""
EFFORTS: Final = (20, 40, 60, 80)
FIELD_MARGIN: Final = 40
"""Pixels that the line takes besides its letters."""


class SongsView(QWidget):
    """The lessons of the chosen folder; of the demo songs where none was chosen yet."""

    open_wanted = Signal(str)
    """Path of the lesson to open."""
    folder_chosen = Signal(str)
    """The folder to list from now on."""
    plans_wanted = Signal(object)
    """The lessons (`SongEntry`) whose session plans are to be written."""
    wish_wanted = Signal()
    """A song that somebody asked for is to be noted."""
    message = Signal(str)
    """One sentence for the message bar."""

    def __init__(self, slow_work: SlowWork, folder: str, own_folder: Path, parent: QWidget | None = None) -> None:
        """`own_folder` is where the program keeps what is its own, the index of songs among it."""
        super().__init__(parent)
        self._slow_work = slow_work
        self._folder = folder
        self._index_path = own_folder / INDEX_NAME
        self._index: SongIndex | None = None
        self._listed = ""
        self._steps: Iterator[tuple[list[SongEntry], bool]] = iter(())
        self._gathered: list[SongEntry] = []
        self._to_read: list[str] = []
        self._fresh: list[SongEntry] = []
        self._gone: list[str] = []
        self._looking = False
        self._is_describing = False
        self._current = ""
        self.table = SongTable(self)
        self.where = label("", self, look="heading")
        self.count = label("", self, look="quiet")
        self.filter = LineField(self)
        self.filter.setPlaceholderText(self.tr("Type to find a title, key, chord, name or word"))
        self.filter.setAccessibleName(self.tr("Find songs"))
        self.filter.setClearButtonEnabled(True)
        self.filter.textChanged.connect(self._narrow)
        self.filter.cancelled.connect(self.filter.clear)
        self.filter.returnPressed.connect(self._open_first)
        self.state, self.key, self.effort = (
            self._choice(name) for name in (self.tr("State"), self.tr("Key"), self.tr("Effort"))
        )
        self._fill_choices()
        self.chords = ChordFilter(self)
        self.chords.changed.connect(self._narrow)
        self.chords.field.returnPressed.connect(self._open_first)
        self.choose = Button(self.tr("Choose folder…"), self, does=self.choose_folder)
        self.wish = Button(
            self.tr("Wanted song…"), self, name=self.tr("Note a song that is asked for"), does=self.wish_wanted.emit
        )
        self.again = Button(
            self.tr("Read again"), self, name=self.tr("Read the folder again"), does=lambda: self.refresh()
        )
        self.plans = Button(
            self.tr("Write plans…"), self, name=self.tr("Write the plans of the selected songs"), does=self._want_plans
        )
        self.open = Button(self.tr("Open"), self, name=self.tr("Open the selected song"), does=self._open_selected)
        self.list = SongList(self.table, self)
        self.list.doubleClicked.connect(self._open)
        self.list.opened.connect(self._open)
        self.list.typed.connect(self._begin_filter)
        self._showing = QTimer(self)
        self._showing.setSingleShot(True)
        self._showing.setInterval(SHOWING_MILLISECONDS)
        self._clock = QElapsedTimer()
        self._showing.timeout.connect(self._show_fresh)
        self._gathering = QTimer(self)
        self._gathering.setSingleShot(True)
        self._gathering.setInterval(0)
        self._gathering.timeout.connect(self._gather)
        for choice in (self.state, self.key, self.effort):
            choice.currentIndexChanged.connect(self._narrow)
        self._lay_out()

    def _lay_out(self) -> None:
        above = QHBoxLayout()
        above.setSpacing(8)
        above.addWidget(self.where)
        above.addWidget(self.count)
        above.addStretch()
        for button in (self.wish, self.again, self.choose):
            above.addWidget(button)
        self._below = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._below.setSpacing(8)
        self._below.addWidget(self.filter, 1)
        self._choices = QHBoxLayout()
        self._choices.setSpacing(8)
        for widget in (self.chords, self.state, self.key, self.effort, self.plans, self.open):
            self._choices.addWidget(widget)
        self._choices.addStretch()
        self._below.addLayout(self._choices)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(20, 16, 20, 16)
        layout.setSpacing(12)
        layout.addLayout(above)
        layout.addLayout(self._below)
        layout.addWidget(self.list, 1)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Put the choices below the line that is typed in where both have no room beside one another."""
        super().resizeEvent(event)
        self._share_out()

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """Look at the width again when the text has another size."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.FontChange:
            self._share_out()

    def _share_out(self) -> None:
        asked = self.filter.fontMetrics().horizontalAdvance(self.filter.placeholderText()) + FIELD_MARGIN
        room = self._below.contentsRect().width() - self._choices.minimumSize().width() - self._below.spacing()
        fits = asked <= room
        self._below.setDirection(QBoxLayout.Direction.LeftToRight if fits else QBoxLayout.Direction.TopToBottom)

    def _choice(self, name: str) -> QComboBox:
        choice = QComboBox(self)
        choice.setAccessibleName(name)
        choice.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        return choice

    def _fill_choices(self) -> None:
        self.state.addItem(self.tr("any state"), "")
        for state in STATES:
            self.state.addItem(state_name(state), state)
        self.key.addItem(self.tr("any key"), "")
        self.effort.addItem(self.tr("any effort"), 100.0)
        for most in EFFORTS:
            self.effort.addItem(self.tr("effort to %1").replace("%1", str(most)), float(most))

    @property
    def is_reading(self) -> bool:
        """Whether the folder is still being read."""
        return self._looking or self._is_describing or bool(self._fresh)

    @property
    def folder(self) -> str:
        """The folder whose lessons are listed; empty for the demo lessons."""
        return self._folder

    def choose_folder(self) -> None:
        """Ask for another folder."""
        dialog = folder_dialog(self, self.tr("Folder of lessons"), self._folder or str(Path.home()))
        dialog.fileSelected.connect(self.show_folder)
        dialog.open()

    def show_folder(self, folder: str) -> None:
        """List another folder."""
        self._folder = folder
        self.folder_chosen.emit(folder)
        self.refresh()

    def refresh(self, current: Path | None = None) -> None:
        """List what the index knows at once, then read what has changed in the background.

        Args:
            current: the lesson that is open, which is selected where it is listed.
        """
        self._current = str(current) if current else self._current
        self._slow_work.forget(LISTING)
        self._to_read, self._fresh, self._gone = [], [], []
        self._looking, self._is_describing = True, False
        folder = self._listed_folder()
        self.where.setText(self._folder or self.tr("Demo lessons"))
        self.close_index()  # its file may have been lost meanwhile; one that is still there is opened at once
        index = self._opened_index()
        self._steps, self._gathered = index.steps(folder) if index else iter(()), []
        if folder != self._listed:
            self._listed = folder
            self.table.exchange(())
        self._gather()

    def _gather(self) -> None:
        """Take some lessons from the index; between two goes the window does whatever else there is to do."""
        some, more = next(self._steps, ([], False))
        self._gathered.extend(some)
        if more:
            self._gathering.start()
            self._say_count()
            return
        self.table.exchange(self._gathered)
        self._gathered = []
        self._fill_keys()
        self._select_current()
        self._slow_work.start(
            f"{READING}:folder_news",
            str(self._index_path),
            self._listed,
            done=self._read_news,
            failed=self._not_read,
            name=LISTING,
        )
        self._say_count()

    def close_index(self) -> None:
        """Let go of the index."""
        self._showing.stop()
        self._gathering.stop()
        self._steps = iter(())
        if self._index is not None:
            self._index.close()
            self._index = None

    def _listed_folder(self) -> str:
        return self._folder or str(demo_songs()[0].parent)

    def _opened_index(self) -> SongIndex | None:
        if self._index is None:
            try:
                self._index = SongIndex(self._index_path)
            except OSError as error:
                self.message.emit(
                    self.tr("The index of songs cannot be kept (%1), so every list is read anew.").replace(
                        "%1", (error.strerror or "no reason given").lower()
                    )
                )
        return self._index

    def _read_news(self, news: FolderNews) -> None:
        self._looking = False
        self._to_read, self._gone = list(news.changed), list(news.gone)
        if self._gone:
            self._show_fresh()
        self._read_on()

    def _read_on(self) -> None:
        """Have the next few lessons read; few, so that other work of the helper gets its turn between them."""
        some, self._to_read = tuple(self._to_read[:READ_AT_ONCE]), self._to_read[READ_AT_ONCE:]
        self._is_describing = bool(some)
        if some:
            self._slow_work.start(
                f"{READING}:describe_some",
                str(self._index_path),
                some,
                done=self._add,
                failed=self._skip,
                name="",
                group=LISTING,
            )
        self._say_count()

    def _add(self, entries: tuple[SongEntry, ...]) -> None:
        self._fresh.extend(entries)
        if not self._showing.isActive():
            self._showing.start()
        self._read_on()

    def _skip(self, sentence: str) -> None:
        self.message.emit(sentence)
        self._read_on()

    def _show_fresh(self) -> None:
        """Show what has been read since the last time; not at once, since each time the list is put in order."""
        self._clock.start()
        self.table.put(self._fresh, self._gone)
        self._fresh, self._gone = [], []
        self._fill_keys()
        self.table.narrow(self._narrowing())
        self._select_something()
        self._say_count()
        self._showing.setInterval(max(SHOWING_MILLISECONDS, SHARE_OF_SHOWING * self._clock.elapsed()))

    def _not_read(self, sentence: str) -> None:
        self._looking = False
        self.table.exchange(())
        self.count.setText(sentence)

    def _say_count(self) -> None:
        shown, whole = self.table.rowCount(), self.table.known
        if self.is_reading and not whole:
            text = self.tr("reading…")
        elif self._to_read and whole:
            text = self.tr("%1 songs, %2 still to read")
            text = text.replace("%1", str(whole)).replace("%2", str(len(self._to_read)))
        elif not whole and not self._fresh:
            text = self.tr("no lessons here yet: save one into this folder")
        elif self.chords.unknown:
            text = self.tr("“%1” is no chord yet").replace("%1", self.chords.unknown)
        elif shown != whole:
            text = self.tr("%1 of %2 songs").replace("%1", str(shown)).replace("%2", str(whole))
        else:
            text = self.tr("%1 songs").replace("%1", str(whole)) if whole != 1 else self.tr("1 song")
        self.count.setText(text)

    def _fill_keys(self) -> None:
        chosen, keys = self.key.currentData(), self.table.keys
        if keys == tuple(self.key.itemData(place) for place in range(1, self.key.count())):
            return
        self.key.blockSignals(True)
        self.key.clear()
        self.key.addItem(self.tr("any key"), "")
        for key in keys:
            self.key.addItem(key, key)
        self.key.setCurrentIndex(max(0, self.key.findData(chosen)))
        self.key.blockSignals(False)

    def _narrowing(self) -> Narrowing:
        return Narrowing(
            self._found(),
            self.state.currentData() or "",
            self.key.currentData() or "",
            self.effort.currentData() or 100.0,
            self.chords.chords,
            self.chords.no_others,
        )

    def _found(self) -> frozenset[str] | None:
        """Paths of the lessons that hold what was typed; None where nothing was."""
        index, text = self._opened_index(), self.filter.text()
        if index is None:
            return self.table.finding(text)
        found = index.matching(text)
        if index.is_renewed:
            index.is_renewed = False
            QTimer.singleShot(0, self.refresh)
        return None if found is None else frozenset(found)

    def _narrow(self) -> None:
        self.table.narrow(self._narrowing())
        self._select_something()
        self.list.show_current()
        self._say_count()

    def selected_entries(self) -> tuple[SongEntry, ...]:
        """The selected lessons, from top to bottom."""
        return tuple(self.table.entry(row) for row in self.list.selected_rows)

    def selected_paths(self) -> tuple[str, ...]:
        """The files of the selected lessons, from top to bottom."""
        return tuple(entry.path for entry in self.selected_entries())

    def _select_current(self) -> None:
        """Select the lesson that is open, where it is listed, and bring it into sight."""
        row = self.table.row_of(self._current)
        if row >= 0:
            self.list.select_rows((row,))
        self._select_something()
        self.list.show_current()

    def _select_something(self) -> None:
        """Select the first row where nothing is selected."""
        if not self.list.selected_rows and self.table.rowCount():
            self.list.select_rows((0,))

    def _begin_filter(self, text: str) -> None:
        self.filter.setFocus(Qt.FocusReason.OtherFocusReason)
        self.filter.setText(self.filter.text() + text)

    def _open_first(self) -> None:
        if self.table.rowCount():
            self._open(self.list.currentIndex() if self.list.currentIndex().isValid() else self.table.index(0, 0))

    def _open_selected(self) -> None:
        if self.list.currentIndex().isValid():
            self._open(self.list.currentIndex())

    def _want_plans(self) -> None:
        lessons = self.selected_entries()
        if lessons:
            self.plans_wanted.emit(lessons)
        else:
            self.message.emit(self.tr("Select the songs whose plans are to be written."))

    def _open(self, index: QModelIndex) -> None:
        self.open_wanted.emit(self.table.entry(index.row()).path)

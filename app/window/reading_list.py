"""The selected part as a list in words: its notes, its chords, its cuts; for whoever reads by ear, or at leisure.

The list follows the selection on the sheet, and the selection follows the list.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QCoreApplication, QSignalBlocker, Qt, Signal
from PySide6.QtGui import QKeyEvent, QShowEvent
from PySide6.QtWidgets import QDockWidget, QHBoxLayout, QListWidget, QListWidgetItem, QMainWindow, QWidget

from app.widgets.button import Button
from app.widgets.labels import label
from app.widgets.place_words import cut_in_words, place_in_words
from app.widgets.selection import Kind, Place
from app.widgets.wrapped_line import wrap_lines

if TYPE_CHECKING:
    from collections.abc import Callable

    from app.document.document import LessonDocument
    from app.widgets.selection import Selection
    from core.song.song import Song

WIDTH: Final = 300


def lines_of(song: Song, number: int) -> list[tuple[str, Place]]:
    """A part in words, in the order of time: the cut before it, the part, its notes and chords, the cut behind it.

    With each line stands what it selects; a cut selects the part.
    """
    part, start = song.parts[number - 1], song.part_onsets[number - 1]
    things = [(note.onset, 1, Place(number, Kind.NOTE, index)) for index, note in enumerate(part.notes) if note.melody]
    things += [(chord.onset, 0, Place(number, Kind.CHORD, index)) for index, chord in enumerate(part.chords)]
    lines = [(place_in_words(song, Place(number)), Place(number))]
    if number > 1:
        lines.insert(0, (_cut(song, number - 1, start), Place(number)))
    lines += [(place_in_words(song, place), place) for _, _, place in sorted(things, key=lambda thing: thing[:2])]
    if number < len(song.parts):
        lines.append((_cut(song, number, start + part.duration), Place(number)))
    return lines


def _cut(song: Song, before: int, tick: int) -> str:
    text = QCoreApplication.translate("ReadingList", "Cut between part %1 and part %2, behind %3")
    return text.replace("%1", str(before)).replace("%2", str(before + 1)).replace("%3", cut_in_words(song, tick))


class ReadingList(QListWidget):
    """The list; it costs nothing while it is not shown."""

    done = Signal()
    """Enter was pressed: the sheet is wanted, with what is selected."""

    def __init__(self, document: LessonDocument, selection: Selection, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._places: list[Place] = []
        self._shown: tuple[Song, int] | None = None
        self.setAccessibleName(self.tr("Notes, chords and cuts of the selected part"))
        wrap_lines(self)
        self.setMinimumWidth(WIDTH)
        self.currentRowChanged.connect(self._row_changed)
        selection.changed.connect(lambda _before, _after: self._follow())
        document.song_changed.connect(lambda _before, _after: self._follow())

    @property
    def lines(self) -> list[str]:
        """What the list says now."""
        return [self.item(row).text() for row in range(self.count())]

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802 - Qt's name
        """Say what is selected now."""
        super().showEvent(event)
        self._follow()

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Enter and Escape go to the sheet; Left and Right go to the part before and after."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Escape):
            self.done.emit()
        elif event.key() in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            step = 1 if event.key() == Qt.Key.Key_Right else -1
            number = self._selection.place.part + step
            if 1 <= number <= len(self._document.song.parts):
                self._selection.select(Place(number))
        else:
            super().keyPressEvent(event)

    def _follow(self) -> None:
        if not self.isVisible():
            return
        song, place = self._document.song, self._selection.place
        if place.part > len(song.parts):
            return
        with QSignalBlocker(self):
            if self._shown is None or self._shown[0] is not song or self._shown[1] != place.part:
                self._fill(song, place.part)
            row = self.currentRow()
            if place in self._places and not (0 <= row < len(self._places) and self._places[row] == place):
                self.setCurrentRow(self._row_of(place))
        self.scrollToItem(self.currentItem())

    def _fill(self, song: Song, number: int) -> None:
        self._shown = (song, number)
        lines = lines_of(song, number)
        self._places = [place for _, place in lines]
        while self.count() > len(lines):
            self.takeItem(self.count() - 1)
        for row, (text, _) in enumerate(lines):
            if row < self.count():
                if self.item(row).text() != text:
                    self.item(row).setText(text)
            else:
                self.addItem(QListWidgetItem(text))

    def _row_of(self, place: Place) -> int:
        """A part's own line, not that of the cut before it, which selects the part too."""
        cut_before = place.kind is Kind.PART and place.part > 1
        return self._places.index(place) + cut_before

    def _row_changed(self, row: int) -> None:
        if 0 <= row < len(self._places):
            self._selection.select(self._places[row])


class ReadingDock(QDockWidget):
    """The list at the window's left, under a title of the program's own; the button puts it away."""

    def __init__(self, reading: ReadingList, put_away: Callable[[], object], parent: QMainWindow) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("In words"))
        self.setFeatures(QDockWidget.DockWidgetFeature.DockWidgetClosable)
        head = QWidget(self)
        close = Button(self.tr("Put away"), head, name=self.tr("Put the part in words away"), does=put_away)
        row = QHBoxLayout(head)
        row.setContentsMargins(16, 8, 8, 8)
        row.addWidget(label(self.windowTitle(), head, look="heading"), 1)
        row.addWidget(close)
        self.setTitleBarWidget(head)
        self.setWidget(reading)

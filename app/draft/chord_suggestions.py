"""Chords that go on from what has been typed, below the field in which a chord is named."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QLineEdit, QListWidget, QWidget

from core.theory.chord_symbols import parse_chord, show_chord

WIDTH: Final = 132


class ChordSuggestions(QListWidget):
    """A list over the window that never takes the keyboard's attention.

    The arrow keys of the field choose in it, Tab completes.
    """

    taken = Signal(str)
    """The name of a chord that was clicked, or chosen with the arrow keys and Enter."""

    def __init__(self, ground: QWidget, field: QLineEdit) -> None:
        super().__init__(ground.window())
        self._field = field
        self._names: tuple[str, ...] = ()
        self.setObjectName("chord-suggestions")
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName(self.tr("Chords that go on from what is typed"))
        self.itemClicked.connect(lambda item: self.taken.emit(self._names[self.row(item)]))
        field.installEventFilter(self)
        self.hide()

    @property
    def names(self) -> tuple[str, ...]:
        """The names that are suggested, as they are typed."""
        return self._names

    @property
    def chosen(self) -> str | None:
        """The name that the arrow keys have come to, or None."""
        row = self.currentRow()
        return self._names[row] if self.isVisible() and 0 <= row < len(self._names) else None

    def suggest(self, names: Sequence[str]) -> None:
        """Suggest other names; with none the list goes away."""
        self._names = tuple(names)
        self.clear()
        if not names:
            self.hide()
            return
        self.addItems([show_chord(parse_chord(name)) for name in names])
        self.setCurrentRow(-1)
        window = self._field.window()
        box = QRect(self._field.mapTo(window, QPoint(0, 0)), self._field.size())
        height = sum(self.sizeHintForRow(row) for row in range(len(names))) + 10
        above = box.bottom() + 2 + height > window.height()
        top = box.top() - 2 - height if above else box.bottom() + 2
        self.setGeometry(box.left(), top, max(WIDTH, box.width()), height)
        self.raise_()
        self.show()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 - Qt's name
        """Walk through the list with the arrow keys of the field; complete with Tab."""
        if watched is self._field and event.type() is QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            key = event.key()
            if not self.isVisible() or not self._names:
                return False
            if key in (Qt.Key.Key_Down, Qt.Key.Key_Up):
                step = 1 if key == Qt.Key.Key_Down else -1
                count = len(self._names) + 1
                self.setCurrentRow((self.currentRow() + 1 + step) % count - 1)
                return True
            if key == Qt.Key.Key_Tab:
                self._complete(self.chosen or self._names[0])
                return True
        return False

    def _complete(self, name: str) -> None:
        self._field.setText(name)
        self._field.setModified(True)
        self._field.textEdited.emit(name)

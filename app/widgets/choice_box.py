"""Choice boxes that leave the mouse wheel to the page they lie in, and Space to playing."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QSignalBlocker, Qt
from PySide6.QtGui import QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QComboBox, QSizePolicy, QWidget

OWN_KEYS = (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Up, Qt.Key.Key_Down)
NARROWEST_LETTERS = 8


class ChoiceBox(QComboBox):
    """One of several things by name; takes the width there is.

    Args:
        name: what a screen reader says.
        parent: the widget it lies in.
    """

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(NARROWEST_LETTERS)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def offer(self, choices: Sequence[tuple[str, str]], chosen: str) -> None:
        """Offer choices, each with its name and what it says, one of them chosen; nothing is signalled."""
        with QSignalBlocker(self):
            if [(self.itemData(place), self.itemText(place)) for place in range(self.count())] != list(choices):
                self.clear()
                for name, title in choices:
                    self.addItem(title, name)
            self.setCurrentIndex(self.findData(chosen))

    def choose(self, name: str) -> None:
        """Choose by name, as the mouse does."""
        self.setCurrentIndex(self.findData(name))
        self.activated.emit(self.currentIndex())

    @property
    def chosen(self) -> str:
        """The name of what is chosen; empty where nothing is."""
        return str(self.currentData() or "")

    def event(self, event: QEvent) -> bool:
        """Keep the keys that choose from the window's shortcuts while this box has the keyboard's attention."""
        if event.type() is QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent) and event.key() in OWN_KEYS:
            event.accept()
            return True
        return super().event(event)

    def wheelEvent(self, event: QWheelEvent) -> None:  # noqa: N802 - Qt's name
        """Leave the wheel to the page: it scrolls past the box, and chooses nothing."""
        event.ignore()

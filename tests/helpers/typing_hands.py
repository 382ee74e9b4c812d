"""Somebody's hands on a computer's keyboard: every key goes to what has the keyboard's attention."""

from __future__ import annotations

from PySide6.QtCore import QKeyCombination, Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

MOST_TABS = 150
NONE = Qt.KeyboardModifier.NoModifier


class TypingHands:
    """Presses keys, as at a desk; Tab is all that moves the keyboard's attention."""

    def __init__(self, window: QWidget) -> None:
        self._window = window

    @property
    def at(self) -> QWidget:
        """What has the keyboard's attention."""
        return QApplication.focusWidget() or self._window

    def press(self, key: Qt.Key, modifiers: Qt.KeyboardModifier = NONE) -> None:
        QTest.keyClick(self.at, key, modifiers)
        QApplication.processEvents()

    def press_written(self, keys: str) -> None:
        """Press keys as they are written, such as ``Ctrl+Shift+V``."""
        combination: QKeyCombination = QKeySequence(keys)[0]  # type: ignore[index]  # the stubs do not know it
        key, modifiers = combination.key(), combination.keyboardModifiers()
        letter = key.name.removeprefix("Key_")
        if modifiers == Qt.KeyboardModifier.ShiftModifier and len(letter) == 1:
            QTest.keyClicks(self.at, letter, modifiers)  # what a letter types with Shift is not what it types without
            QApplication.processEvents()
        else:
            self.press(key, modifiers)

    def type(self, text: str) -> None:
        QTest.keyClicks(self.at, text)
        QApplication.processEvents()

    def tab_to(self, name: str) -> QWidget:
        """Press Tab until something of that name has the keyboard's attention."""
        met = []
        for _ in range(MOST_TABS):
            if name in self.at.accessibleName() or name == getattr(self.at, "text", str)():
                return self.at
            met.append(self.at.accessibleName())
            self.press(Qt.Key.Key_Tab)
        raise AssertionError(f"Tab does not come to {name}, only to {sorted(set(met))}")

"""Buttons that leave the space bar to playing unless they have the keyboard's attention."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QPushButton, QWidget


class Button(QPushButton):
    """A push button.

    A click does not take the keyboard's attention away from the sheet, so that Space goes on playing; one
    reached with Tab is pressed with Space or Enter.

    Args:
        text: what it says.
        parent: the widget it lies in.
        name: what a screen reader says; the text where left out.
        look: which dress of the style sheet it wears.
        does: called when it is pressed.
    """

    def __init__(
        self,
        text: str,
        parent: QWidget | None = None,
        *,
        name: str = "",
        look: str = "",
        does: Callable[[], object] | None = None,
    ) -> None:
        super().__init__(parent)
        self.setText(text)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setAccessibleName(name or text)
        if look:
            self.setProperty("look", look)
        if does is not None:
            self.clicked.connect(lambda: does())

    def event(self, event: QEvent) -> bool:
        """Keep Space and Enter from the window's shortcuts while this button has the keyboard's attention."""
        if event.type() is QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            plain = event.modifiers() in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier)
            if plain and event.key() in (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter):
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Press with Enter as with Space."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
            return
        super().keyPressEvent(event)

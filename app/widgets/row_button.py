"""A play button of a row: drawn in the row's picture, pressed and focused here."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRectF, Qt
from PySide6.QtGui import QEnterEvent, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QWidget

from app.widgets.painting import colour
from app.widgets.themes import Themes
from core.drawing.shapes import Role

PRESSING_KEYS = (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter)


class RowButton(QAbstractButton):
    """Lies over a drawn button; shows where the pointer and the keyboard's attention are."""

    def __init__(self, themes: Themes, parent: QWidget) -> None:
        super().__init__(parent)
        self._themes = themes
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def event(self, event: QEvent) -> bool:
        """Keep Space and Enter from the window's shortcuts while this button has the keyboard's attention."""
        if (
            event.type() is QEvent.Type.ShortcutOverride
            and isinstance(event, QKeyEvent)
            and event.key() in PRESSING_KEYS
            and event.modifiers() == Qt.KeyboardModifier.NoModifier
        ):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Press with Enter as with Space."""
        if event.key() in PRESSING_KEYS:
            self.click()
            return
        super().keyPressEvent(event)

    def enterEvent(self, event: QEnterEvent) -> None:  # noqa: N802 - Qt's name
        """Show that the pointer is here."""
        super().enterEvent(event)
        self.update()

    def leaveEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """Show that the pointer has gone."""
        super().leaveEvent(event)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002, N802 - Qt's name
        """Paint a ring for the keyboard's attention, a darker edge for the pointer."""
        if not (self.hasFocus() or self.underMouse()):
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        role, width = (Role.LEFT, 2.0) if self.hasFocus() else (Role.INK, 1.2)
        painter.setPen(QPen(colour(self._themes.theme[role]), width))
        inset = width / 2
        box = QRectF(self.rect()).adjusted(inset, inset, -inset, -inset)
        painter.drawRoundedRect(box, 6, 6)
        painter.end()

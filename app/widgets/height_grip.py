"""The upper edge of the keyboard, dragged to make it taller or lower."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QAccessible, QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.widgets.painting import colour
from app.widgets.themes import Themes
from core.drawing.shapes import Role

HEIGHT = 8
KEY_STEP = 8
"""Pixels of a press of an arrow key: two steps of the window's grid."""


class HeightGrip(QWidget):
    """A thin band that is dragged up and down; a double click gives the usual height back."""

    spoken_role = QAccessible.Role.Grip
    dragged = Signal(int)
    """Pixels by which it has been dragged up since it was taken hold of."""
    taken = Signal()
    """It has been taken hold of."""
    reset = Signal()
    """The usual height is wanted."""

    def __init__(self, themes: Themes, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._themes = themes
        self._pressed_at: float | None = None
        self.setCursor(Qt.CursorShape.SizeVerCursor)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(self.tr("Height of the keyboard"))
        self.setToolTip(
            self.tr("Drag it, or press the up and down arrow keys; a double click gives the usual height back")
        )
        themes.changed.connect(self.update)

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """A thin band."""
        return QSize(200, HEIGHT)

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Take hold of the edge."""
        if event.button() is Qt.MouseButton.LeftButton:
            self._pressed_at = event.globalPosition().y()
            self.taken.emit()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Report how far it has been dragged up."""
        if self._pressed_at is not None:
            self.dragged.emit(round(self._pressed_at - event.globalPosition().y()))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: ARG002, N802 - Qt's name
        """Let go."""
        self._pressed_at = None

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:  # noqa: ARG002, N802 - Qt's name
        """Give the usual height back."""
        self.reset.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Make it taller or lower with the arrow keys, as it usually is with Home."""
        steps = {Qt.Key.Key_Up: KEY_STEP, Qt.Key.Key_Down: -KEY_STEP}.get(Qt.Key(event.key()))
        if steps is not None:
            self.taken.emit()
            self.dragged.emit(steps)
        elif event.key() == Qt.Key.Key_Home:
            self.reset.emit()
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:  # noqa: N802 - Qt's name
        """Show the keyboard's attention."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:  # noqa: N802 - Qt's name
        """No longer show it."""
        super().focusOutEvent(event)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002, N802 - Qt's name
        """Paint a short bar in the middle."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colour(self._themes.theme[Role.LEFT if self.hasFocus() else Role.KEY_EDGE]))
        width = 64 if self.hasFocus() else 36
        painter.drawRoundedRect((self.width() - width) // 2, 2, width, 4, 2, 2)
        painter.end()

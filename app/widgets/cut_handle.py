"""The handle of a cut, between two rows: dragged sideways it moves the cut, by beats."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QAccessible, QEnterEvent, QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from app.widgets.painting import colour
from app.widgets.themes import Themes
from core.drawing.shapes import Role

WIDTH, HEIGHT = 76, 16


class CutHandle(QWidget):
    """A small grip at the end of a part's row."""

    spoken_role = QAccessible.Role.Grip
    dragged = Signal(int, float)
    """Number of the part before the cut, and pixels moved so far."""
    dropped = Signal(int, float)
    """The same, once it is let go."""
    nudged = Signal(int, int, bool)
    """Number of the part before the cut, -1 for earlier or 1 for later, and whether by a whole bar."""
    cancelled = Signal()
    """The drag was given up."""

    def __init__(self, after: int, themes: Themes, parent: QWidget) -> None:
        super().__init__(parent)
        self.after = after
        self.onset: int | None = None
        """The cut's moment in ticks from the song's start, as it was last described."""
        self.reasons: Callable[[int], str] = lambda _after: ""
        """What speaks for the cut, by the number of the part before it; asked when its hint is shown."""
        self._told = ""
        self._themes = themes
        self._pressed_at: QPointF | None = None
        self._moved = False
        self.resize(WIDTH, HEIGHT)
        self.setCursor(Qt.CursorShape.SizeHorCursor)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def describe(self, where: str) -> None:
        """Say where the cut is."""
        text = self.tr("Cut after %1").replace("%1", where)
        self.setAccessibleName(text)
        self._told = self.tr("%1: drag it sideways, or press the left and right arrow keys").replace("%1", text)
        self.setToolTip(self._told)

    def event(self, event: QEvent) -> bool:
        """Say in the hint why the cut lies here."""
        if event.type() is QEvent.Type.ToolTip:
            self.setToolTip("\n".join(filter(None, (self._told, self.reasons(self.after)))))
        return super().event(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Take hold of the cut."""
        if event.button() is Qt.MouseButton.LeftButton:
            self._pressed_at, self._moved = event.globalPosition(), False

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Report how far it has been dragged."""
        if self._pressed_at is not None:
            right = event.globalPosition().x() - self._pressed_at.x()
            self._moved = self._moved or abs(right) > 2
            if self._moved:
                self.dragged.emit(self.after, right)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Report where it was let go."""
        if self._pressed_at is not None and event.button() is Qt.MouseButton.LeftButton:
            right = event.globalPosition().x() - self._pressed_at.x()
            self._pressed_at = None
            if self._moved:
                self.dropped.emit(self.after, right)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Move the cut with the arrow keys, by a bar with Shift; Escape gives a drag up."""
        by_bar = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if event.key() == Qt.Key.Key_Left:
            self.nudged.emit(self.after, -1, by_bar)
        elif event.key() == Qt.Key.Key_Right:
            self.nudged.emit(self.after, 1, by_bar)
        elif event.key() == Qt.Key.Key_Escape and self._pressed_at is not None:
            self._pressed_at = None
            self.cancelled.emit()
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:  # noqa: N802 - Qt's name
        """Show the keyboard's attention."""
        super().focusInEvent(event)
        self.update()

    def enterEvent(self, event: QEnterEvent) -> None:  # noqa: N802 - Qt's name
        """Show that the pointer is here."""
        super().enterEvent(event)
        self.update()

    def leaveEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """Show that the pointer has gone."""
        super().leaveEvent(event)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002, N802 - Qt's name
        """Paint two arrow heads on a dashed line."""
        theme = self._themes.theme
        lively = self.hasFocus() or self.underMouse() or self._pressed_at is not None
        role = Role.LEFT if self.hasFocus() else Role.INK if lively else Role.QUIET
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        middle, centre = self.height() / 2, self.width() / 2
        pen = QPen(colour(theme[role]), 2 if lively else 1.4)
        pen.setDashPattern([3, 2])
        painter.setPen(pen)
        painter.drawLine(QPointF(6, middle), QPointF(centre - 15, middle))
        painter.drawLine(QPointF(centre + 15, middle), QPointF(self.width() - 6, middle))
        painter.setPen(QPen(colour(theme[role]), 2 if lively else 1.4))
        for direction in (-1, 1):
            tip = centre + direction * 9
            painter.drawLine(QPointF(tip, middle), QPointF(tip - direction * 4, middle - 4))
            painter.drawLine(QPointF(tip, middle), QPointF(tip - direction * 4, middle + 4))
        painter.drawLine(QPointF(centre, middle - 5), QPointF(centre, middle + 5))
        if self.hasFocus():
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 6, 6)
        painter.end()

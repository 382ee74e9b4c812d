"""Words that lead to a place of the song: a press, or Enter, shows it on the sheet."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QLabel, QWidget


class PlaceLink(QLabel):
    """A label that can be pressed where it speaks of a moment; otherwise it is just a label."""

    chosen = Signal(int)
    """The moment it speaks of, in ticks from the song's start."""

    def __init__(self, text: str, parent: QWidget | None = None) -> None:
        super().__init__(text, parent)
        self.tick: int | None = None
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setProperty("look", "quiet")

    def show_place(self, text: str, tick: int | None) -> None:
        """Show other words, about another moment or about none."""
        leads, led = tick is not None, self.tick is not None
        if text != self.text():
            self.setText(text)
        name = self.tr("%1 Show the bar.").replace("%1", text) if leads else text
        if name != self.accessibleName():
            self.setAccessibleName(name)
        if leads and not led:
            self.setCursor(Qt.CursorShape.PointingHandCursor)
            self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        elif led and not leads:
            self.unsetCursor()
            self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.tick = tick
        self._underline(under=False)

    def enterEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """Show that it can be pressed."""
        super().enterEvent(event)  # type: ignore[arg-type]  # Qt hands an enter event, its stub says otherwise
        self._underline(under=self.tick is not None)

    def leaveEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """Show that the pointer has gone."""
        super().leaveEvent(event)
        self._underline(under=False)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Show the place."""
        if event.button() is Qt.MouseButton.LeftButton and self.rect().contains(event.position().toPoint()):
            self._choose()

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Take the press, so that the release comes here."""
        event.accept()

    def event(self, event: QEvent) -> bool:
        """Keep Space and Enter from the window's shortcuts while it has the keyboard's attention."""
        if event.type() is QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent) and _presses(event):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Show the place with Enter or Space."""
        if _presses(event):
            self._choose()
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

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802 - Qt's name
        """Paint the words, and a frame around them while they have the keyboard's attention."""
        super().paintEvent(event)
        if self.hasFocus():
            painter = QPainter(self)
            painter.setPen(QPen(self.palette().windowText().color(), 1.4))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
            painter.end()

    def _choose(self) -> None:
        if self.tick is not None:
            self.chosen.emit(self.tick)

    def _underline(self, *, under: bool) -> None:
        font = self.font()
        if font.underline() != under:
            font.setUnderline(under)
            self.setFont(font)


def _presses(event: QKeyEvent) -> bool:
    plain = event.modifiers() in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier)
    return plain and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space)

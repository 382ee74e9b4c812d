"""Text fields whose undo is the lesson's undo, not one of their own."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QKeySequence, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QLineEdit, QPlainTextEdit, QSizePolicy, QWidget

LESSON_KEYS = (QKeySequence.StandardKey.Undo, QKeySequence.StandardKey.Redo)


def _is_for_the_lesson(event: QEvent) -> bool:
    """Whether a key is undo or redo, which belong to the lesson even while a field is being typed in."""
    return (
        event.type() is QEvent.Type.ShortcutOverride
        and isinstance(event, QKeyEvent)
        and any(event.matches(key) for key in LESSON_KEYS)
    )


FIELD_KEYS = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Escape)
"""Keys that a line of text keeps from the shortcuts of what it lies in."""


class LineField(QLineEdit):
    """A line of text."""

    left = Signal()
    """The keyboard's attention went elsewhere."""
    cancelled = Signal()
    """Escape was pressed."""

    def event(self, event: QEvent) -> bool:
        """Leave undo and redo to the lesson; keep Enter and Escape."""
        if _is_for_the_lesson(event):
            event.ignore()
            return False
        if event.type() is QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent) and event.key() in FIELD_KEYS:
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Report Escape."""
        if event.key() == Qt.Key.Key_Escape:
            self.cancelled.emit()
            return
        super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:  # noqa: N802 - Qt's name
        """Report that the keyboard's attention went elsewhere."""
        super().focusOutEvent(event)
        if event.reason() is not Qt.FocusReason.PopupFocusReason:
            self.left.emit()


class TextField(QPlainTextEdit):
    """Lines of text, as tall as they need; Tab goes on to the next control."""

    left = Signal()
    """The keyboard's attention went elsewhere."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setUndoRedoEnabled(False)
        self.setTabChangesFocus(True)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.document().documentLayout().documentSizeChanged.connect(self._fit)

    def event(self, event: QEvent) -> bool:
        """Leave undo and redo to the lesson."""
        if _is_for_the_lesson(event):
            event.ignore()
            return False
        return super().event(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:  # noqa: N802 - Qt's name
        """Report that the keyboard's attention went elsewhere."""
        super().focusOutEvent(event)
        if event.reason() is not Qt.FocusReason.PopupFocusReason:
            self.left.emit()

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Be as tall as the lines need in the new width."""
        super().resizeEvent(event)
        self._fit()

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802 - Qt's name
        """Be as tall as the lines need once the style is known."""
        super().showEvent(event)
        self._fit()

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """A line at least."""
        return QSize(80, self._height_for(1))

    def _height_for(self, lines: int) -> int:
        """Height with the frame, the style sheet's padding and the document's margin."""
        inside = self.fontMetrics().lineSpacing() * max(1, lines) + 2 * round(self.document().documentMargin())
        frame = self.height() - self.viewport().height() if self.isVisible() else 10
        return inside + max(8, frame) + 1

    def _fit(self) -> None:
        lines = 0
        block = self.document().firstBlock()
        while block.isValid():
            lines += max(1, block.layout().lineCount())
            block = block.next()
        wanted = self._height_for(lines)
        if wanted != self.height():
            self.setFixedHeight(wanted)

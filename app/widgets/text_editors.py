"""Text fields whose undo is the lesson's undo, not one of their own."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, Literal

from PySide6.QtCore import QEvent, QSignalBlocker, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QKeySequence, QTextLayout, QTextOption
from PySide6.QtWidgets import QLineEdit, QPlainTextEdit, QSizePolicy, QTextEdit, QWidget

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


FRAME_WIDTH: Final = 18
FRAME_HEIGHT: Final = 10
"""Pixels that the style sheet's edges and padding take of a text field."""


Underlined = tuple[int, int, Literal["dots", "waves"]]
"""The place of the first underlined character in a text, the place behind the last, and the kind of line."""


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
        self._broken_for: tuple[str, str] = ("", "")
        self._line_counts: dict[float, int] = {}
        self.setUndoRedoEnabled(False)
        self.setTabChangesFocus(True)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.textChanged.connect(self.updateGeometry)

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

    def show_text(self, text: str) -> None:
        """Show another text; nothing is signalled, since nobody has typed it."""
        if self.toPlainText() != text:
            with QSignalBlocker(self):
                self.setPlainText(text)
            self.updateGeometry()

    def underline(self, stretches: Sequence[Underlined]) -> None:
        """Underline stretches of the text and nothing else."""
        from PySide6.QtGui import QTextCharFormat, QTextCursor  # slow to load, and most words are not underlined

        lines = {"dots": QTextCharFormat.UnderlineStyle.DotLine, "waves": QTextCharFormat.UnderlineStyle.WaveUnderline}
        selections = []
        for start, end, style in stretches:
            selection = QTextEdit.ExtraSelection()
            cursor = QTextCursor(self.document())
            cursor.setPosition(start)
            cursor.setPosition(end, QTextCursor.MoveMode.KeepAnchor)
            under = QTextCharFormat()
            under.setUnderlineStyle(lines[style])
            selection.cursor = cursor
            selection.format = under
            selections.append(selection)
        self.setExtraSelections(selections)

    def hasHeightForWidth(self) -> bool:  # noqa: N802 - Qt's name
        """Its height follows from its width."""
        return True

    def heightForWidth(self, width: int) -> int:  # noqa: N802 - Qt's name
        """Height of the text's lines in a width."""
        room = width - FRAME_WIDTH - 2 * self.document().documentMargin()
        wanted = (self.toPlainText(), self.font().key())
        if wanted != self._broken_for:
            self._broken_for = wanted
            self._line_counts.clear()
        if room not in self._line_counts:  # asked again and again, for several widths, while the window is laid out
            self._line_counts[room] = sum(self._lines(paragraph, room) for paragraph in wanted[0].split("\n"))
        return self._height_of(self._line_counts[room])

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """As tall as its lines need in the width it has."""
        return QSize(240, self.heightForWidth(max(self.width(), 120)))

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """A line at least."""
        return QSize(80, self._height_of(1))

    def _height_of(self, lines: int) -> int:
        margins = 2 * round(self.document().documentMargin())
        return self.fontMetrics().lineSpacing() * max(1, lines) + margins + FRAME_HEIGHT

    def _lines(self, paragraph: str, room: float) -> int:
        """How many lines a paragraph is broken into, by the rule of Qt's text fields."""
        layout = QTextLayout(paragraph, self.font())
        option = QTextOption()
        option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
        layout.setTextOption(option)
        layout.beginLayout()
        count = 0
        while (line := layout.createLine()).isValid():
            line.setLineWidth(room)
            count += 1
        layout.endLayout()
        return max(1, count)

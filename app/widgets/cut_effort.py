"""The effort on both sides of a cut, shown beside its handle while it is dragged."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QRect, Qt
from PySide6.QtWidgets import QLabel, QWidget

from app.widgets.labels import SCALE, sized
from core.session.analysis import part_effort
from core.song.song import Song

CONTEXT = "CutEffort"
GAP = 8
"""Pixels between the words and the handle."""


def efforts_in_words(before: Song, after: Song, number: int) -> str:
    """The effort of the parts on both sides of the cut after part `number`, and how it differs from before.

    Args:
        before: the song as it is.
        after: the song as it would be, with as many parts.
        number: the part before the cut.
    """
    return "   ".join(_effort(before, after, part) for part in (number, number + 1))


def _effort(before: Song, after: Song, number: int) -> str:
    is_now, was = round(part_effort(after, number).total), round(part_effort(before, number).total)
    text = QCoreApplication.translate(CONTEXT, "Part %1: effort %2").replace("%1", str(number))
    text = text.replace("%2", str(is_now))
    if is_now == was:
        return text
    return f"{text} ({'+' if is_now > was else '−'}{abs(is_now - was)})"


class CutEffort(QLabel):
    """The words beside a handle."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setProperty("look", "afloat")
        self.setFont(sized(self.font(), SCALE["small"]))
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.hide()

    def show_beside(self, handle: QRect, before: Song, after: Song, number: int) -> None:
        """Show the efforts to the left of a handle, or to its right where there is no room."""
        self.setText(efforts_in_words(before, after, number))
        self.adjustSize()
        left = handle.left() - GAP - self.width()
        if left < GAP:
            left = handle.right() + GAP
        self.move(left, handle.center().y() - self.height() // 2)
        self.raise_()
        self.show()

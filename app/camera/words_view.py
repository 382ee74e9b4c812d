"""Words as large as the room allows, so that they can be read from the piano."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QPointF
from PySide6.QtGui import QFont, QPainter, QPaintEvent, QTextCharFormat, QTextCursor, QTextDocument, QTextOption
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.camera.coloured_words import Stretch
from app.widgets.fonts import picture_font
from app.widgets.painting import colour
from app.widgets.themes import Themes

SMALLEST: Final = 15
LARGEST_SHARE: Final = 1 / 14
"""Largest letters as a share of the window's width: about eight words a line."""


class WordsView(QWidget):
    """Paragraphs of coloured words."""

    def __init__(self, themes: Themes, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._themes = themes
        self._paragraphs: tuple[tuple[Stretch, ...], ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(240, 80)
        themes.changed.connect(self.update)

    def show_words(self, paragraphs: Sequence[Sequence[Stretch]]) -> None:
        """Show other words."""
        self._paragraphs = tuple(tuple(paragraph) for paragraph in paragraphs)
        self.setAccessibleName(self.text)
        self.update()

    @property
    def text(self) -> str:
        """The words without their colours."""
        return "\n".join("".join(stretch.text for stretch in paragraph) for paragraph in self._paragraphs)

    @property
    def letter_height(self) -> int:
        """Pixels of the letters' font: the largest at which everything fits."""
        low, high = SMALLEST, max(SMALLEST, round(self.width() * LARGEST_SHARE))
        while low < high:
            middle = (low + high + 1) // 2
            fits = self._document(middle).size().height() <= self.height()
            low, high = (middle, high) if fits else (low, middle - 1)
        return low

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002, N802 - Qt's name
        """Paint the words from the top left."""
        painter = QPainter(self)
        painter.translate(QPointF(0, 0))
        self._document(self.letter_height).drawContents(painter)
        painter.end()

    def _document(self, pixels: int) -> QTextDocument:
        document = QTextDocument()
        document.setDocumentMargin(0)
        document.setUndoRedoEnabled(False)
        font = QFont(picture_font(pixels, bold=True))
        document.setDefaultFont(font)
        option = QTextOption()
        option.setWrapMode(QTextOption.WrapMode.WordWrap)
        document.setDefaultTextOption(option)
        document.setTextWidth(self.width())
        cursor = QTextCursor(document)
        for place, paragraph in enumerate(self._paragraphs):
            if place:
                cursor.insertBlock()
            for stretch in paragraph:
                form = QTextCharFormat()
                form.setForeground(colour(self._themes.theme[stretch.role]))
                cursor.insertText(stretch.text, form)
        return document

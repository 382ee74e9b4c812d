"""A sign with a word that marks a line of what to say: own words, or a part that has changed since."""

from __future__ import annotations

from typing import Final, Literal

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QWidget

from app.widgets.labels import size_text
from app.widgets.painting import paint
from app.widgets.themes import Themes
from core.drawing.shapes import Anchor, Line, Picture, Polygon, Role, Shape, Text

Sign = Literal["own", "changed"]

SIDE: Final = 14.0
"""Pixels of the square that a sign is drawn in, at text of the height `DRAWN_AT`."""
DRAWN_AT: Final = 16.0
TO_WORDS: Final = 4
"""Pixels between the sign and its words."""

_PENCIL: Final[tuple[Shape, ...]] = (
    Polygon(((3.4, 9.0), (10.0, 2.4), (12.2, 4.6), (5.6, 11.2)), Role.INK),
    Polygon(((2.2, 12.4), (2.9, 9.6), (5.0, 11.7)), Role.INK),
    Line(7.4, 12.6, 13.0, 12.6, Role.INK, 1.2),
)
_TRIANGLE: Final[tuple[Shape, ...]] = (
    Polygon(((7.0, 0.8), (13.8, 13.2), (0.2, 13.2)), Role.WARNING),
    Text(7.0, 12.0, "!", 9.5, Role.CARD, True, Anchor.MIDDLE),
)
SIGNS: Final[dict[Sign, tuple[Shape, ...]]] = {"own": _PENCIL, "changed": _TRIANGLE}


class LineMark(QLabel):
    """A pencil, or a triangle with an exclamation mark, and words beside it."""

    def __init__(self, sign: Sign, themes: Themes, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._picture = Picture(SIDE, SIDE, SIGNS[sign])
        self._themes = themes
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(sign == "changed")
        if sign == "changed":
            self.setProperty("look", "warning")
        size_text(self, "small")
        self._make_room()

    def say(self, words: str, whole: str) -> None:
        """Show words; `whole` is what they stand for, for a hint and for those who hear them read."""
        self.setText(words)
        self.setToolTip(whole)
        self.setAccessibleName(whole)

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """The sign grows with the words."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.FontChange:
            self._make_room()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802 - Qt's name
        """Paint the sign at the height of the first line of the words."""
        super().paintEvent(event)
        painter = QPainter(self)
        scale, line = self._scale, self.fontMetrics().height()
        top = (self.height() - line) / 2 if not self.wordWrap() else 0.0
        painter.translate(0.0, top + (line - SIDE * scale) / 2)
        painter.scale(scale, scale)
        paint(painter, self._picture, self._themes.theme)
        painter.end()

    @property
    def _scale(self) -> float:
        return self.fontMetrics().height() / DRAWN_AT

    def _make_room(self) -> None:
        self.setContentsMargins(round(SIDE * self._scale) + TO_WORDS, 0, 0, 0)

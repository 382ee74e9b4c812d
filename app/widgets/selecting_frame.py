"""The rectangle that is drawn with the mouse to select notes."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from app.widgets.painting import colour
from app.widgets.part_row import PartRow
from app.widgets.selection import Place
from app.widgets.themes import Themes
from core.drawing.shapes import Role

ALPHA: Final = 22
"""Of 255: so little of the ink colour lies inside that everything there stays readable."""


class SelectingFrame(QWidget):
    """A thin frame with a light ground, over the rows; the mouse goes through it."""

    def __init__(self, themes: Themes, parent: QWidget) -> None:
        super().__init__(parent)
        self._themes = themes
        self._box = QRectF()
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.hide()

    def show_around(self, box: QRectF) -> bool:
        """Lie around a rectangle of the sheet's pixels; an empty one puts the frame away. Whether it is to be seen."""
        self._box = box
        if box.isEmpty():
            self.hide()
            return False
        self.setGeometry(box.toAlignedRect())
        self.raise_()
        self.show()
        return True

    def notes_in(self, rows: Iterable[PartRow]) -> list[Place]:
        """The places of the notes of some rows inside the frame."""
        touched = [row for row in rows if self._box.intersects(QRectF(row.geometry()))]
        return [place for row in touched for place in row.notes_in(self._box.translated(-QPointF(row.pos())))]

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002, N802 - Qt's name
        """Paint the frame."""
        ink = colour(self._themes.theme[Role.SELECTED])
        ground = QColor(ink)
        ground.setAlpha(ALPHA)
        painter = QPainter(self)
        painter.setPen(QPen(ink, 1, Qt.PenStyle.DashLine))
        painter.setBrush(ground)
        painter.drawRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5))
        painter.end()

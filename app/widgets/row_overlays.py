"""What is painted over a row for a while: a stretch that is pointed out, places where a landing may lie."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.widgets.painting import colour, paint
from core.drawing.colours import Theme
from core.drawing.lesson_sheet import RowLayout
from core.drawing.shapes import Picture, Role, Shape

MARKED_ALPHA: Final = 22
"""Of 255: how much of the ink colour lies over a marked stretch, so that everything in it stays readable."""


def paint_stretch(painter: QPainter, layout: RowLayout, theme: Theme, start: int, end: int) -> None:
    """A frame with a light ground around what lies between two moments, in every line it is in."""
    ink = colour(theme[Role.SELECTED])
    ground = QColor(ink)
    ground.setAlpha(MARKED_ALPHA)
    painter.setPen(QPen(ink, 1.2, Qt.PenStyle.DashLine))
    painter.setBrush(ground)
    for line in layout.lines:
        first, last = max(start, line.start), min(end, line.end)
        if first < last:
            left = line.left + (first - line.start) * layout.pixels_per_tick
            width = (last - first) * layout.pixels_per_tick
            painter.drawRoundedRect(QRectF(left - 3, line.top, width, line.bottom - line.top + 4), 6, 6)


def paint_over(painter: QPainter, shapes: Sequence[Shape], theme: Theme) -> None:
    """Shapes over the row, in its own pixels."""
    if shapes:
        paint(painter, Picture(0, 0, tuple(shapes)), theme)

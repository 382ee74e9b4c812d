"""Paints a picture of `core.drawing` with Qt."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Final

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter, QPen, QPixmap, QPolygonF, QRegion, QTransform

from app.widgets.fonts import picture_font
from core.drawing.colours import Theme
from core.drawing.shapes import Anchor, Circle, Line, Picture, Polygon, Rectangle, Role, Shape, Text

NO_PEN: Final = QPen(Qt.PenStyle.NoPen)
NO_BRUSH: Final = QBrush(Qt.BrushStyle.NoBrush)


@lru_cache(maxsize=128)
def colour(code: str) -> QColor:
    """The colour written as ``#RRGGBB``."""
    return QColor(code)


@lru_cache(maxsize=256)
def _pen(code: str, width: float, dash: float) -> QPen:
    pen = QPen(colour(code), width)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    if dash:
        pen.setDashPattern([dash / width, dash / width])
    return pen


@lru_cache(maxsize=1024)
def _advance(text: str, size: float, bold: bool) -> float:
    return QFontMetricsF(picture_font(size, bold=bold)).horizontalAdvance(text)


def paint(painter: QPainter, picture: Picture, theme: Theme) -> None:
    """Paint a picture with its top left corner at the painter's origin."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for shape in picture.shapes:
        _paint_shape(painter, shape, theme)


def repaint(pixmap: QPixmap, picture: Picture, zoom: float, theme: Theme, places: Sequence[QRectF]) -> None:
    """Paint what of a picture lies in some rectangles over what was painted there before, and nothing outside them.

    Args:
        pixmap: the pixels.
        picture: what they show.
        zoom: 1.0 where a pixel of the picture is one of the widget.
        theme: the colours.
        places: in the picture's pixels; what is painted are whole pixels of the widget around them.
    """
    to_widget, back = QTransform.fromScale(zoom, zoom), QTransform.fromScale(1 / zoom, 1 / zoom)
    region, touched = QRegion(), QRegion()
    for place in places:
        box = to_widget.mapRect(place).toAlignedRect()
        region += box
        touched += back.mapRect(QRectF(box)).toAlignedRect()
    painter = QPainter(pixmap)
    painter.setClipRegion(region)
    painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_Source)
    painter.fillRect(region.boundingRect(), Qt.GlobalColor.transparent)
    painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_SourceOver)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.scale(zoom, zoom)
    around = touched.boundingRect()
    near_left, near_top, near_right, near_bottom = around.left(), around.top(), around.right() + 1, around.bottom() + 1
    for shape in picture.shapes:
        left, top, right, bottom = edges_of(shape)
        near = left < near_right and right > near_left and top < near_bottom and bottom > near_top
        if near and touched.intersects(bounds_of(shape).toAlignedRect()):
            _paint_shape(painter, shape, theme)
    painter.end()


def bounds_of(shape: Shape) -> QRectF:
    """A rectangle that a shape does not leave."""
    left, top, right, bottom = edges_of(shape)
    return QRectF(left, top, right - left, bottom - top)


def edges_of(shape: Shape) -> tuple[float, float, float, float]:
    """The left, upper, right and lower edge of a rectangle that a shape does not leave."""
    match shape:
        case Text():
            reach = _advance(shape.text, shape.size, shape.bold)
            return (shape.x - reach, shape.baseline - 2 * shape.size, shape.x + reach, shape.baseline + shape.size)
        case Line():
            wide = shape.width
            left, right = min(shape.x1, shape.x2) - wide, max(shape.x1, shape.x2) + wide
            return (left, min(shape.y1, shape.y2) - wide, right, max(shape.y1, shape.y2) + wide)
        case Circle():
            reach = shape.radius + shape.edge_width
            return (shape.x - reach, shape.y - reach, shape.x + reach, shape.y + reach)
        case Rectangle():
            edge = shape.edge_width
            right, bottom = shape.x + shape.width + edge, shape.y + shape.height + edge
            return (shape.x - edge, shape.y - edge, right, bottom)
        case Polygon():
            across, down = zip(*shape.points, strict=True)
            return (min(across), min(down), max(across), max(down))


def _paint_shape(painter: QPainter, shape: Shape, theme: Theme) -> None:
    match shape:
        case Text():
            start = shape.x
            if shape.anchor is not Anchor.START:
                advance = _advance(shape.text, shape.size, shape.bold)
                start -= advance / 2 if shape.anchor is Anchor.MIDDLE else advance
            painter.setFont(picture_font(shape.size, bold=shape.bold))
            painter.setPen(colour(theme[shape.role]))
            painter.drawText(QPointF(start, shape.baseline), shape.text)
        case Line():
            painter.setPen(_pen(theme[shape.role], shape.width, shape.dash))
            painter.drawLine(QLineF(shape.x1, shape.y1, shape.x2, shape.y2))
        case Circle():
            _dress(painter, shape.fill, shape.edge, shape.edge_width, theme)
            painter.drawEllipse(QPointF(shape.x, shape.y), shape.radius, shape.radius)
        case Rectangle():
            _dress(painter, shape.fill, shape.edge, shape.edge_width, theme)
            box = QRectF(shape.x, shape.y, shape.width, shape.height)
            if shape.corner:
                painter.drawRoundedRect(box, shape.corner, shape.corner)
            else:
                painter.drawRect(box)
        case Polygon():
            _dress(painter, shape.fill, None, 0, theme)
            painter.drawPolygon(QPolygonF([QPointF(x, y) for x, y in shape.points]))


def _dress(painter: QPainter, fill: Role | None, edge: Role | None, width: float, theme: Theme) -> None:
    painter.setBrush(QBrush(colour(theme[fill])) if fill else NO_BRUSH)
    painter.setPen(_pen(theme[edge], width, 0.0) if edge and width else NO_PEN)

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
    for shape in picture.shapes:
        if touched.intersects(bounds_of(shape).toAlignedRect()):
            _paint_shape(painter, shape, theme)
    painter.end()


def bounds_of(shape: Shape) -> QRectF:
    """A rectangle that a shape does not leave."""
    match shape:
        case Text():
            reach = _advance(shape.text, shape.size, shape.bold)
            return QRectF(shape.x - reach, shape.baseline - 2 * shape.size, 2 * reach, 3 * shape.size)
        case Line():
            line = QRectF(QPointF(shape.x1, shape.y1), QPointF(shape.x2, shape.y2)).normalized()
            return line.adjusted(-shape.width, -shape.width, shape.width, shape.width)
        case Circle():
            reach = shape.radius + shape.edge_width
            return QRectF(shape.x - reach, shape.y - reach, 2 * reach, 2 * reach)
        case Rectangle():
            edge = shape.edge_width
            return QRectF(shape.x - edge, shape.y - edge, shape.width + 2 * edge, shape.height + 2 * edge)
        case Polygon():
            return QPolygonF([QPointF(x, y) for x, y in shape.points]).boundingRect()


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

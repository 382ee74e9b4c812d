"""What lies at a place of a picture, and where a thing lies in it."""

from __future__ import annotations

from math import hypot

from msgspec import Struct

from core.drawing.metrics import FontMetrics
from core.drawing.shapes import Anchor, Circle, Line, Picture, Polygon, Rectangle, Shape, Subject, Text


class Box(Struct, frozen=True):
    """An upright rectangle in pixels."""

    left: float
    top: float
    right: float
    bottom: float

    def joined(self, other: Box) -> Box:
        """The smallest box around two."""
        return Box(
            min(self.left, other.left),
            min(self.top, other.top),
            max(self.right, other.right),
            max(self.bottom, other.bottom),
        )

    def holds(self, x: float, y: float, reach: float = 0.0) -> bool:
        """Whether a place is inside, or within `reach` pixels."""
        return self.left - reach <= x <= self.right + reach and self.top - reach <= y <= self.bottom + reach


def box_of(shape: Shape, metrics: FontMetrics) -> Box:
    """The box around a shape, edges included."""
    match shape:
        case Line():
            half = shape.width / 2
            return Box(
                min(shape.x1, shape.x2) - half,
                min(shape.y1, shape.y2) - half,
                max(shape.x1, shape.x2) + half,
                max(shape.y1, shape.y2) + half,
            )
        case Rectangle():
            half = shape.edge_width / 2 if shape.edge else 0.0
            return Box(shape.x - half, shape.y - half, shape.x + shape.width + half, shape.y + shape.height + half)
        case Circle():
            reach = shape.radius + (shape.edge_width / 2 if shape.edge else 0.0)
            return Box(shape.x - reach, shape.y - reach, shape.x + reach, shape.y + reach)
        case Polygon():
            xs, ys = zip(*shape.points, strict=True)
            return Box(min(xs), min(ys), max(xs), max(ys))
        case Text():
            width = metrics.width(shape.text, shape.size, shape.bold)
            left = shape.x - {Anchor.START: 0.0, Anchor.MIDDLE: width / 2, Anchor.END: width}[shape.anchor]
            return Box(left, shape.baseline - metrics.capital_height(shape.size), left + width, shape.baseline)


def _touches(shape: Shape, x: float, y: float, reach: float, metrics: FontMetrics) -> bool:
    if isinstance(shape, Circle):
        return hypot(x - shape.x, y - shape.y) <= shape.radius + reach
    return box_of(shape, metrics).holds(x, y, reach)


def subject_at(picture: Picture, x: float, y: float, metrics: FontMetrics, reach: float = 2.0) -> Subject | None:
    """The subject of the topmost shape at a place, or None.

    Args:
        picture: what is drawn.
        x: pixel.
        y: pixel.
        metrics: widths of letters, for text.
        reach: pixels by which a place may miss.
    """
    for shape in reversed(picture.shapes):
        if shape.subject is not None and _touches(shape, x, y, reach, metrics):
            return shape.subject
    return None


def place_of(picture: Picture, subject: Subject, metrics: FontMetrics) -> Box | None:
    """The box around everything that stands for a subject, or None where it is not drawn."""
    boxes = [box_of(shape, metrics) for shape in picture.shapes if shape.subject == subject]
    if not boxes:
        return None
    whole = boxes[0]
    for box in boxes[1:]:
        whole = whole.joined(box)
    return whole


def subjects_in(picture: Picture) -> tuple[Subject, ...]:
    """Every subject once, in painting order."""
    return tuple(dict.fromkeys(shape.subject for shape in picture.shapes if shape.subject is not None))

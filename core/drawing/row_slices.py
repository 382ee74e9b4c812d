"""A row too tall for a page, cut between its lines."""

from __future__ import annotations

from itertools import pairwise

from msgspec.structs import replace

from core.drawing.hit_testing import box_of
from core.drawing.lesson_sheet import LINE_GAP, RowLayout
from core.drawing.metrics import FontMetrics
from core.drawing.shapes import Circle, Line, Picture, Polygon, Rectangle, Shape, Text
from core.song.wording import say


def slices(layout: RowLayout, tallest: float, metrics: FontMetrics) -> tuple[Picture, ...]:
    """The row's picture whole where it is no taller than `tallest` pixels, else in pieces of whole lines.

    Every piece has a card of its own; a single line is never cut, however tall it is.
    """
    picture = layout.picture
    if picture.height <= tallest:
        return (picture,)
    cuts = [0.0]
    between = [line.bottom + LINE_GAP / 2 for line in layout.lines[:-1]]
    for cut, following in pairwise([*between, picture.height]):
        if following - cuts[-1] > tallest:
            cuts.append(cut)
    return tuple(
        _slice(picture, top, bottom, layout.number, metrics)
        for top, bottom in zip(cuts, [*cuts[1:], picture.height], strict=True)
    )


def _slice(picture: Picture, top: float, bottom: float, number: int, metrics: FontMetrics) -> Picture:
    card, *rest = picture.shapes
    assert isinstance(card, Rectangle)  # a row's picture begins with its card
    shapes: list[Shape] = [replace(card, height=bottom - top - card.edge_width)]
    for shape in rest:
        box = box_of(shape, metrics)
        if top <= (box.top + box.bottom) / 2 < bottom:
            shapes.append(_moved(shape, -top))
    description = picture.description if top == 0 else say("Part {number}, continued.", number=number)
    return Picture(picture.width, bottom - top, tuple(shapes), description)


def _moved(shape: Shape, down: float) -> Shape:
    match shape:
        case Line():
            return replace(shape, y1=shape.y1 + down, y2=shape.y2 + down)
        case Rectangle() | Circle():
            return replace(shape, y=shape.y + down)
        case Polygon():
            return replace(shape, points=tuple((x, y + down) for x, y in shape.points))
        case Text():
            return replace(shape, baseline=shape.baseline + down)

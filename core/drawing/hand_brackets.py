"""Brackets over a keyboard: where each hand lies, from its thumb to its little finger."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from msgspec import Struct

from core.drawing.shapes import Circle, Line, Rectangle, Role, Shape
from core.song.note import Hand

BRACKET_ROOM: Final = 16.0
"""Pixels above the keys for the brackets of both hands."""
LANES: Final = {Hand.RIGHT: 4.5, Hand.LEFT: 10.5}
"""Pixels from the top to each hand's bracket; the hands may lie over one another."""
THICKNESS: Final = 2.0
THUMB_SIZE: Final = 2.8
"""Half the size of the mark at the thumb's end: round for the right hand, square for the left."""


class HandBracket(Struct, frozen=True):
    """Where a hand lies.

    Attributes:
        hand: which hand.
        thumb: MIDI number of the key under the thumb.
        little: MIDI number of the key under the little finger.
    """

    hand: Hand
    thumb: int
    little: int


def draw_brackets(brackets: Sequence[HandBracket], spans: Mapping[int, tuple[float, float]]) -> list[Shape]:
    """The brackets' shapes.

    Args:
        brackets: where the hands lie.
        spans: left and right edge of every key in pixels, by MIDI number; a bracket that leaves them ends there
            without its mark.
    """
    shapes: list[Shape] = []
    first, last = min(spans), max(spans)
    for bracket in brackets:
        low, high = sorted((bracket.thumb, bracket.little))
        if high < first or low > last:
            continue
        left, right = spans[max(low, first)][0] + 1, spans[min(high, last)][1] - 1
        y = LANES[bracket.hand]
        role = Role.RIGHT if bracket.hand is Hand.RIGHT else Role.LEFT
        shapes.append(Line(left, y, right, y, role, THICKNESS))
        for midi, x in ((low, left), (high, right)):
            if first <= midi <= last:
                shapes.append(Line(x, y, x, BRACKET_ROOM - 1.5, role, THICKNESS))
        if first <= bracket.thumb <= last:
            shapes.append(_thumb(bracket, left if bracket.thumb == low else right, y, role))
    return shapes


def _thumb(bracket: HandBracket, x: float, y: float, role: Role) -> Shape:
    if bracket.hand is Hand.RIGHT:
        return Circle(x, y, THUMB_SIZE, role)
    return Rectangle(x - THUMB_SIZE, y - THUMB_SIZE, 2 * THUMB_SIZE, 2 * THUMB_SIZE, role)

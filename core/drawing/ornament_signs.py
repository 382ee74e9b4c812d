"""The signs of ornaments above the melody's beads.

A turn is the wave that notation uses for it; a grace note is a small dot that leads down or up to its note.
"""

from __future__ import annotations

from itertools import pairwise
from math import cos, pi, sin
from typing import Final

from core.drawing.shapes import Circle, Line, Role, Shape, Subject
from core.song.note import GRACE_BELOW, TURN

WIDTH: Final = 15.0
HEIGHT: Final = 5.0
CURL: Final = 0.3
"""How far the ends of the wave curl back, as a share of a quarter turn."""
STEPS: Final = 14
STROKE: Final = 1.6
DOT: Final = 2.8
LEADS: Final = 10.0
"""Pixels from a grace note's dot to the middle of the bead."""


def ornament_sign(ornament: str, x: float, bottom: float, subject: Subject) -> list[Shape]:
    """The shapes of an ornament's sign.

    Args:
        ornament: its name; nothing is drawn for an empty one.
        x: pixel of the middle of the bead.
        bottom: pixel that the sign stands on.
        subject: the note it belongs to.
    """
    if not ornament:
        return []
    middle = bottom - HEIGHT
    if ornament == TURN:
        points = [_on_wave(x, middle, place / STEPS) for place in range(STEPS + 1)]
        return [Line(*start, *end, Role.RIGHT, STROKE, subject=subject) for start, end in pairwise(points)]
    down = 1 if ornament == GRACE_BELOW else -1
    dot_y = middle + down * (HEIGHT - DOT)
    end_y = middle - down * (HEIGHT - DOT)
    return [
        Circle(x - LEADS, dot_y, DOT, Role.RIGHT, Role.RIGHT, 1.0, subject),
        Line(x - LEADS + DOT, dot_y, x, end_y, Role.RIGHT, STROKE, subject=subject),
    ]


def _on_wave(x: float, y: float, share: float) -> tuple[float, float]:
    """A point of the wave, from its left end to its right one."""
    angle = (share - 0.5) * 2 * pi
    return x + WIDTH / 2 * (2 * share - 1) * cos(angle * CURL / 2), y + HEIGHT * 0.8 * sin(angle)

"""Shapes: what every picture of Phrasebench is made of.

A picture is laid out once, here, in pixels at 100 % (y grows downwards), and painted by the window or written
as SVG. A shape names a colour role, never a colour; `core.drawing.colours` says what a role looks like in a
theme. A shape may carry `subject`, the thing it stands for, so that a click on it can be answered.
"""

from __future__ import annotations

from enum import Enum

from msgspec import Struct


class Role(Enum):
    """What a colour is for."""

    GROUND = "ground"
    CARD = "card"
    CARD_EDGE = "card-edge"
    INK = "ink"
    QUIET = "quiet"
    RIGHT = "right"
    RIGHT_FILL = "right-fill"
    LEFT = "left"
    LEFT_FILL = "left-fill"
    SELECTED = "selected"
    WHITE_KEY = "white-key"
    BLACK_KEY = "black-key"
    KEY_EDGE = "key-edge"
    RIGHT_KEY = "right-key"
    LEFT_KEY = "left-key"
    RIGHT_KEY_FILL = "right-key-fill"
    LEFT_KEY_FILL = "left-key-fill"
    PLAYED_KEY = "played-key"
    PLAYED_KEY_FILL = "played-key-fill"
    KEY_INK = "key-ink"
    ON_RIGHT = "on-right"
    ON_LEFT = "on-left"
    ON_PLAYED = "on-played"
    WARNING = "warning"

    __hash__ = object.__hash__
    """Each is itself alone; the usual one is computed in Python, thousands of times for a row that changes."""


class Subject(Struct, frozen=True):
    """What a shape stands for.

    Attributes:
        kind: ``note``, ``wire-end``, ``chord``, ``landing``, ``part``, ``play-part``, ``play-through``, ``ruler``,
            ``cut`` (the end of the part, where the next one begins), ``key``.
        part: part number from 1, or 0 where no part is meant.
        index: index of the note in ``part.notes`` or of the chord in ``part.chords``; the MIDI number for a key.
    """

    kind: str
    part: int = 0
    index: int = 0


class Line(Struct, frozen=True):
    """A straight line; `dash` is the length of dashes and gaps, 0 for a solid line."""

    x1: float
    y1: float
    x2: float
    y2: float
    role: Role
    width: float = 1.0
    dash: float = 0.0
    subject: Subject | None = None


class Rectangle(Struct, frozen=True):
    """A rectangle with rounded corners; `fill` or `edge` may be None. With neither it is a place to point at.

    `hint` is what a page says where somebody points at it; the window has hints of its own.
    """

    x: float
    y: float
    width: float
    height: float
    fill: Role | None = None
    edge: Role | None = None
    edge_width: float = 1.0
    corner: float = 0.0
    subject: Subject | None = None
    hint: str = ""


class Circle(Struct, frozen=True):
    """A circle; `fill` or `edge` may be None."""

    x: float
    y: float
    radius: float
    fill: Role | None = None
    edge: Role | None = None
    edge_width: float = 1.0
    subject: Subject | None = None


class Polygon(Struct, frozen=True):
    """A closed polygon through points (x, y); filled."""

    points: tuple[tuple[float, float], ...]
    fill: Role
    subject: Subject | None = None


class Anchor(Enum):
    """Where a text's x lies in it."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


class Text(Struct, frozen=True):
    """A line of text on its baseline.

    Attributes:
        x: pixels, of the text's start, middle or end as `anchor` says.
        baseline: pixels.
        text: with musical signs ♭ ♯ 𝄪 𝄫 where needed (the project's own font of accidentals has them).
        size: height of the font in pixels.
        role: colour.
        bold: weight 600 and up instead of regular.
    """

    x: float
    baseline: float
    text: str
    size: float
    role: Role
    bold: bool = False
    anchor: Anchor = Anchor.START
    subject: Subject | None = None


Shape = Line | Rectangle | Circle | Polygon | Text


class Picture(Struct, frozen=True):
    """Shapes in painting order within a size in pixels, and a sentence for those who do not see it."""

    width: float
    height: float
    shapes: tuple[Shape, ...]
    description: str = ""

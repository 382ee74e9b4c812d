"""Draw the project's own font of signs: accidentals and a few small icons.

    python assets/fonts/make_signs.py [FOLDER]

Few text fonts have the accidentals, and none of the fonts a bare machine has can be relied on, so they are drawn
here from our own measures, in the text font's three weights, on its em, baseline and capital height. The same script
gives the same bytes.

Every sign is built from closed outlines in font units (1000 to the em, y upwards). Outer outlines run clockwise,
holes the other way round, as TrueType fills them.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import cos, hypot, pi, sin, tan
from pathlib import Path

from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen

FAMILY = "Phrasebench Signs"
EM, ASCENT, DESCENT, CAPITAL_HEIGHT, SMALL_HEIGHT = 1000, 984, -316, 668, 496
"""Vertical measures of the text font, so that a line with signs in it is no taller."""
LONG_AGO = 3_786_912_000
"""1 January 2024 in seconds since 1904, as font files count: a fixed date, so that the file does not change."""

Point = tuple[float, float]
Outline = tuple[list[Point], bool]
"""Points of a closed outline, and whether every second point is the control point of a quadratic curve."""


@dataclass(frozen=True)
class Weight:
    """Thicknesses of one weight in font units."""

    style: str
    number: int
    stem: float
    bar: float


REGULAR = Weight("Regular", 400, stem=58, bar=92)
SEMIBOLD = Weight("SemiBold", 600, stem=76, bar=118)
BOLD = Weight("Bold", 700, stem=86, bar=132)


def polygon(*points: Point) -> Outline:
    """A straight-edged outline, turned clockwise."""
    area = sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(points, (*points[1:], points[0]), strict=True))
    return list(points) if area < 0 else list(reversed(points)), False


def box(x: float, y: float, width: float, height: float, rise: float = 0.0) -> Outline:
    """An upright box; `rise` lifts its right side, which makes the slanted bar of an accidental."""
    return polygon((x, y), (x, y + height), (x + width, y + height + rise), (x + width, y + rise))


def hole(outline: Outline) -> Outline:
    """The same outline as a hole."""
    points, curved = outline
    return (list(reversed(points)) if not curved else [points[0], *reversed(points[1:])]), curved


def circle(x: float, y: float, radius: float) -> Outline:
    """A circle of eight quadratic arcs, clockwise from its left."""
    points: list[Point] = []
    outside = radius / cos(pi / 8)
    for step in range(8):
        angle = pi - step * pi / 4
        points.append((x + radius * cos(angle), y + radius * sin(angle)))
        middle = angle - pi / 8
        points.append((x + outside * cos(middle), y + outside * sin(middle)))
    return points, True


def turned_box(x: float, y: float, length: float, thickness: float, angle: float) -> Outline:
    """A box centred on a point, its length turned by an angle in radians."""
    along, across = (cos(angle) * length / 2, sin(angle) * length / 2), (-sin(angle), cos(angle))
    half = thickness / 2
    corners = [
        (x + sign * along[0] + side * half * across[0], y + sign * along[1] + side * half * across[1])
        for sign, side in ((-1, -1), (-1, 1), (1, 1), (1, -1))
    ]
    return polygon(*corners)


def sharp(weight: Weight) -> tuple[float, list[Outline]]:
    """Two stems and two slanted bars; a little taller than a capital."""
    width, rise, left = 432.0, 62.0, 34.0
    gap = 196.0
    first = left + (width - gap) / 2 - weight.stem / 2
    outlines = [box(x, -76 + drop, weight.stem, 812) for x, drop in ((first, 0.0), (first + gap, 46.0))]
    outlines.extend(box(left, y - weight.bar / 2, width, weight.bar, rise) for y in (152.0, 412.0))
    return width + 2 * left, outlines


def natural(weight: Weight) -> tuple[float, list[Outline]]:
    """Two stems, the left one rising, the right one falling, joined by two slanted bars."""
    width, rise, left = 282.0, 52.0, 48.0
    right = left + width - weight.stem
    outlines = [box(left, 106, weight.stem, 670), box(right, -96, weight.stem, 670)]
    outlines.extend(box(left, y - weight.bar / 2, width, weight.bar, rise) for y in (154.0, 404.0))
    return width + 2 * left, outlines


def flat_at(weight: Weight, x: float) -> list[Outline]:
    """One flat with its stem's left edge at x: a stem and a bowl that comes to a point at the foot."""
    stem, bowl = weight.stem, weight.bar
    inner = x + stem
    outer: Outline = (
        [
            (x, 0),
            (x, 400),
            (x, 800),
            (x + stem / 2, 800),
            (inner, 800),
            (inner, 600),
            (inner, 396),
            (x + 96, 448),
            (x + 176, 448),
            (x + 322, 448),
            (x + 322, 306),
            (x + 322, 150),
            (x, 0),
            (x, 0),
        ],
        True,
    )
    counter: Outline = (
        [
            (inner, 318),
            (inner + 36, 374),
            (inner + 92, 374),
            (x + 322 - bowl, 374),
            (x + 322 - bowl, 290),
            (x + 322 - bowl, 196),
            (inner, 110),
            (inner, 214),
        ],
        True,
    )
    return [outer, hole(counter)]


def flat(weight: Weight) -> tuple[float, list[Outline]]:
    """A stem and a bowl."""
    return 390, flat_at(weight, 42)


def double_flat(weight: Weight) -> tuple[float, list[Outline]]:
    """Two flats close together."""
    return 390 + 272, [*flat_at(weight, 42), *flat_at(weight, 42 + 272)]


def double_sharp(weight: Weight) -> tuple[float, list[Outline]]:
    """A cross whose four ends are square."""
    middle, centre, reach = 248.0, 300.0, 150.0
    end = 104 + weight.stem * 0.3
    outlines = [turned_box(middle, centre, 2 * reach * hypot(1, 1), weight.stem, sign * pi / 4) for sign in (1, -1)]
    corners = [(side, rise) for side in (-reach, reach) for rise in (-reach, reach)]
    outlines.extend(box(middle + side - end / 2, centre + rise - end / 2, end, end) for side, rise in corners)
    return 2 * middle, outlines


def play(weight: Weight) -> tuple[float, list[Outline]]:
    """A triangle that points right."""
    del weight
    return 700, [polygon((100, 20), (100, 648), (620, 334))]


def stop(weight: Weight) -> tuple[float, list[Outline]]:
    """A filled square."""
    del weight
    return 700, [box(70, 54, 560, 560)]


def pause(weight: Weight) -> tuple[float, list[Outline]]:
    """Two upright bars."""
    del weight
    return 700, [box(110, 40, 170, 588), box(420, 40, 170, 588)]


def tick_box(weight: Weight) -> tuple[float, list[Outline]]:
    """An empty box to tick."""
    line = weight.stem
    return 800, [box(70, 4, 660, 660), hole(box(70 + line, 4 + line, 660 - 2 * line, 660 - 2 * line))]


def ticked_box(weight: Weight) -> tuple[float, list[Outline]]:
    """A box with its tick."""
    width, outlines = tick_box(weight)
    line = weight.bar * 0.85
    return width, [*outlines, polygon(*_tick(210, 150, 380, 360, line))]


def tick(weight: Weight) -> tuple[float, list[Outline]]:
    """A tick."""
    return 700, [polygon(*_tick(70, 30, 560, 560, weight.bar))]


def _tick(x: float, y: float, width: float, height: float, line: float) -> Sequence[Point]:
    low, diagonal = x + width * 0.36, line / hypot(1, 1)
    return (
        (x, y + height * 0.42),
        (x + diagonal, y + height * 0.42 + diagonal),
        (low, y + 2 * diagonal),
        (x + width - diagonal, y + height),
        (x + width, y + height - diagonal),
        (low, y),
    )


def dot(weight: Weight) -> tuple[float, list[Outline]]:
    """A filled circle."""
    del weight
    return 700, [circle(350, 334, 290)]


def ring(weight: Weight) -> tuple[float, list[Outline]]:
    """An open circle."""
    return 700, [circle(350, 334, 290), hole(circle(350, 334, 290 - weight.bar * 0.85))]


def arrow(weight: Weight) -> tuple[float, list[Outline]]:
    """An arrow to the right."""
    line, tip, head = weight.bar * 0.85, 820.0, 200.0
    slant = line / 2 * tan(3 * pi / 8)
    return 900, [
        box(80, 290 - line / 2, tip - 80 - slant, line),
        polygon(
            (tip, 290),
            (tip - head - line / 2, 290 + head + line / 2),
            (tip - head - slant, 290 + head),
            (tip - slant, 290),
            (tip - head - slant, 290 - head),
            (tip - head - line / 2, 290 - head - line / 2),
        ),
    ]


Sign = Callable[[Weight], tuple[float, list[Outline]]]
SIGNS: dict[int, tuple[str, Sign]] = {
    0x2192: ("arrow", arrow),
    0x23F8: ("pause", pause),
    0x25A0: ("stop", stop),
    0x25B6: ("play", play),
    0x25CB: ("ring", ring),
    0x25CF: ("dot", dot),
    0x2610: ("tick_box", tick_box),
    0x2611: ("ticked_box", ticked_box),
    0x266D: ("flat", flat),
    0x266E: ("natural", natural),
    0x266F: ("sharp", sharp),
    0x2713: ("tick", tick),
    0x1D12A: ("double_sharp", double_sharp),
    0x1D12B: ("double_flat", double_flat),
}
"""Unicode number, glyph name and drawing of every sign."""


def draw(outlines: Sequence[Outline]) -> object:
    """A TrueType glyph of outlines."""
    pen = TTGlyphPen(None)
    for points, curved in outlines:
        rounded = [(round(x), round(y)) for x, y in points]
        pen.moveTo(rounded[0])
        if curved:
            for control, end in zip(rounded[1::2], [*rounded[2::2], rounded[0]], strict=True):
                pen.qCurveTo(control, end)
        else:
            for point in rounded[1:]:
                pen.lineTo(point)
        pen.closePath()
    return pen.glyph()


def make(weight: Weight, path: Path) -> None:
    """Write one weight of the font."""
    drawn = {name: sign(weight) for name, sign in SIGNS.values()}
    names = [".notdef", *drawn]
    builder = FontBuilder(EM, isTTF=True)
    builder.setupGlyphOrder(names)
    builder.setupCharacterMap({number: name for number, (name, _) in SIGNS.items()})
    glyphs = {".notdef": draw([])} | {name: draw(outlines) for name, (_, outlines) in drawn.items()}
    builder.setupGlyf(glyphs)
    advances = {".notdef": 500.0} | {name: width for name, (width, _) in drawn.items()}
    builder.setupHorizontalMetrics({name: (round(width), glyphs[name].xMin) for name, width in advances.items()})
    builder.setupHorizontalHeader(ascent=ASCENT, descent=DESCENT, lineGap=0)
    family = FAMILY if weight.style == "Regular" else f"{FAMILY} {weight.style}"
    builder.setupNameTable(
        {
            "familyName": family,
            "styleName": "Regular",
            "uniqueFontIdentifier": f"1.0;{FAMILY};{weight.style}",
            "fullName": f"{FAMILY} {weight.style}",
            "psName": f"{FAMILY.replace(' ', '')}-{weight.style}",
            "version": "Version 1.000",
            "licenseDescription": "MIT License",
            "typographicFamily": FAMILY,
            "typographicSubfamily": weight.style,
        },
        mac=False,
    )
    builder.setupOS2(
        version=4,
        usWeightClass=weight.number,
        sTypoAscender=ASCENT,
        sTypoDescender=DESCENT,
        sTypoLineGap=0,
        usWinAscent=996,
        usWinDescent=-DESCENT,
        sCapHeight=CAPITAL_HEIGHT,
        sxHeight=SMALL_HEIGHT,
        fsSelection=0x40 | 0x80,
    )
    builder.setupPost()
    builder.font["head"].created = builder.font["head"].modified = LONG_AGO
    builder.font.recalcTimestamp = False
    builder.save(path)


if __name__ == "__main__":
    target = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent
    make(REGULAR, target / "PhrasebenchSigns.ttf")
    make(SEMIBOLD, target / "PhrasebenchSigns-SemiBold.ttf")
    make(BOLD, target / "PhrasebenchSigns-Bold.ttf")

"""Pictures as SVG.

A picture becomes one valid, self-contained document (W3C SVG 1.1 and 2 both read it), with a title and a description
for those who do not see it. Colours are written out for a theme, or as CSS custom properties (``var(--right)``), so
that a page can switch between light and dark by itself.
"""

from __future__ import annotations

from typing import Final
from xml.sax.saxutils import escape

from core.drawing.colours import Theme
from core.drawing.shapes import Anchor, Circle, Line, Picture, Polygon, Rectangle, Role, Shape, Text

FONT_FAMILIES: Final = "'Atkinson Hyperlegible Next', 'Phrasebench Signs', sans-serif"
BOLD_WEIGHT: Final = 600


def write_svg(picture: Picture, theme: Theme | None, title: str = "", identifier: str = "", style: str = "") -> str:
    """A picture as an SVG document.

    Args:
        picture: what to write.
        theme: its colours; None for CSS custom properties named after the roles.
        title: a short name of the picture; the first sentence of its description where none is given.
        identifier: what the ids of title and description begin with; must differ between the pictures of a page.
        style: style sheet to put inside, such as embedded fonts.
    """
    width, height = number(picture.width), number(picture.height)
    name = title or picture.description.partition(". ")[0].rstrip(".")
    labels = []
    about = ""
    prefix = identifier or "picture"
    if name:
        labels.append(f"{prefix}-title")
        about += f'<title id="{prefix}-title">{escape(clean(name))}</title>'
    if picture.description:
        labels.append(f"{prefix}-description")
        about += f'<desc id="{prefix}-description">{escape(clean(picture.description))}</desc>'
    labelled = f' aria-labelledby="{" ".join(labels)}"' if labels else ""
    sheet = f"<style>{escape(style)}</style>" if style else ""
    body = "".join(written for shape in picture.shapes if (written := _shape(shape, theme)))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" viewBox="0 0 {width} {height}"'
        f' role="img"{labelled} font-family="{FONT_FAMILIES}">{about}{sheet}{body}</svg>'
    )


def number(value: float) -> str:
    """A length with at most two decimals, without trailing zeros."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def clean(text: str) -> str:
    """Text without the characters that XML 1.0 does not allow (section 2.2, 'Char')."""
    return "".join(
        letter
        for letter in text
        if letter in "\t\n\r"
        or 0x20 <= ord(letter) <= 0xD7FF
        or 0xE000 <= ord(letter) <= 0xFFFD
        or ord(letter) > 0xFFFF
    )


def _colour(role: Role | None, theme: Theme | None) -> str:
    if role is None:
        return "none"
    return f"var(--{role.value})" if theme is None else theme[role]


def _edge(role: Role | None, width: float, theme: Theme | None) -> str:
    return "" if role is None else f' stroke="{_colour(role, theme)}" stroke-width="{number(width)}"'


def _shape(shape: Shape, theme: Theme | None) -> str:
    match shape:
        case Line():
            dash = f' stroke-dasharray="{number(shape.dash)}"' if shape.dash else ""
            return (
                f'<line x1="{number(shape.x1)}" y1="{number(shape.y1)}" x2="{number(shape.x2)}"'
                f' y2="{number(shape.y2)}"{_edge(shape.role, shape.width, theme)}{dash}/>'
            )
        case Rectangle():
            if shape.fill is None and shape.edge is None:
                return ""
            end = f"><title>{escape(clean(shape.hint))}</title></rect>" if shape.hint else "/>"
            corner = f' rx="{number(shape.corner)}"' if shape.corner else ""
            return (
                f'<rect x="{number(shape.x)}" y="{number(shape.y)}" width="{number(shape.width)}"'
                f' height="{number(shape.height)}"{corner} fill="{_colour(shape.fill, theme)}"'
                f"{_edge(shape.edge, shape.edge_width, theme)}{end}"
            )
        case Circle():
            return (
                f'<circle cx="{number(shape.x)}" cy="{number(shape.y)}" r="{number(shape.radius)}"'
                f' fill="{_colour(shape.fill, theme)}"{_edge(shape.edge, shape.edge_width, theme)}/>'
            )
        case Polygon():
            points = " ".join(f"{number(x)},{number(y)}" for x, y in shape.points)
            return f'<polygon points="{points}" fill="{_colour(shape.fill, theme)}"/>'
        case Text():
            anchor = "" if shape.anchor is Anchor.START else f' text-anchor="{shape.anchor.value}"'
            weight = f' font-weight="{BOLD_WEIGHT}"' if shape.bold else ""
            return (
                f'<text x="{number(shape.x)}" y="{number(shape.baseline)}" font-size="{number(shape.size)}"'
                f'{weight}{anchor} fill="{_colour(shape.role, theme)}">{escape(clean(shape.text))}</text>'
            )

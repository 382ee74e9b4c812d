"""What each colour role looks like, in the light and in the dark theme.

Every pair listed in `TEXT_PAIRS` is text or a letter on its ground and reaches a contrast of 4.5 : 1
(W3C Web Content Accessibility Guidelines 2.2, success criterion 1.4.3); a test computes them all.
"""

from __future__ import annotations

from typing import Final

from core.drawing.shapes import Role

Theme = dict[Role, str]

LIGHT: Final[Theme] = {
    Role.GROUND: "#F6F3EC",
    Role.CARD: "#FFFDF8",
    Role.CARD_EDGE: "#DDD6C8",
    Role.INK: "#23211C",
    Role.QUIET: "#665F50",
    Role.RIGHT: "#8F4F00",
    Role.RIGHT_FILL: "#FCEBD3",
    Role.LEFT: "#3E4A9E",
    Role.LEFT_FILL: "#E6E8F6",
    Role.SELECTED: "#23211C",
    Role.WHITE_KEY: "#FFFFFF",
    Role.BLACK_KEY: "#2B2822",
    Role.KEY_EDGE: "#A79E8B",
    Role.RIGHT_KEY: "#8F4F00",
    Role.LEFT_KEY: "#3E4A9E",
    Role.RIGHT_KEY_FILL: "#FCEBD3",
    Role.LEFT_KEY_FILL: "#DEE1F5",
    Role.PLAYED_KEY: "#5A5344",
    Role.PLAYED_KEY_FILL: "#E6DFD0",
    Role.KEY_INK: "#5C5546",
    Role.ON_RIGHT: "#FFFFFF",
    Role.ON_LEFT: "#FFFFFF",
    Role.ON_PLAYED: "#FFFFFF",
    Role.WARNING: "#9B2C1F",
}

DARK: Final[Theme] = {
    Role.GROUND: "#1F1D18",
    Role.CARD: "#2B2822",
    Role.CARD_EDGE: "#4A453B",
    Role.INK: "#F6F3EC",
    Role.QUIET: "#B5AD9B",
    Role.RIGHT: "#F2B45B",
    Role.RIGHT_FILL: "#3D2E18",
    Role.LEFT: "#A9B4FF",
    Role.LEFT_FILL: "#252A52",
    Role.SELECTED: "#F6F3EC",
    Role.WHITE_KEY: "#EFEBE2",
    Role.BLACK_KEY: "#15130F",
    Role.KEY_EDGE: "#7A7263",
    Role.RIGHT_KEY: "#8F4F00",
    Role.LEFT_KEY: "#3E4A9E",
    Role.RIGHT_KEY_FILL: "#FCEBD3",
    Role.LEFT_KEY_FILL: "#DEE1F5",
    Role.PLAYED_KEY: "#5A5344",
    Role.PLAYED_KEY_FILL: "#E6DFD0",
    Role.KEY_INK: "#5C5546",
    Role.ON_RIGHT: "#FFFFFF",
    Role.ON_LEFT: "#FFFFFF",
    Role.ON_PLAYED: "#FFFFFF",
    Role.WARNING: "#FF9C8A",
}

TEXT_PAIRS: Final = (
    (Role.INK, Role.GROUND),
    (Role.INK, Role.CARD),
    (Role.QUIET, Role.GROUND),
    (Role.QUIET, Role.CARD),
    (Role.RIGHT, Role.GROUND),
    (Role.RIGHT, Role.CARD),
    (Role.INK, Role.RIGHT_FILL),
    (Role.LEFT, Role.GROUND),
    (Role.LEFT, Role.CARD),
    (Role.INK, Role.LEFT_FILL),
    (Role.QUIET, Role.LEFT_FILL),
    (Role.CARD, Role.INK),
    (Role.GROUND, Role.INK),
    (Role.KEY_INK, Role.WHITE_KEY),
    (Role.KEY_INK, Role.RIGHT_KEY_FILL),
    (Role.KEY_INK, Role.LEFT_KEY_FILL),
    (Role.ON_RIGHT, Role.RIGHT_KEY),
    (Role.KEY_INK, Role.PLAYED_KEY_FILL),
    (Role.ON_LEFT, Role.LEFT_KEY),
    (Role.ON_PLAYED, Role.PLAYED_KEY),
    (Role.PLAYED_KEY, Role.PLAYED_KEY_FILL),
    (Role.RIGHT_KEY, Role.RIGHT_KEY_FILL),
    (Role.LEFT_KEY, Role.LEFT_KEY_FILL),
    (Role.WARNING, Role.GROUND),
    (Role.WARNING, Role.CARD),
    (Role.CARD, Role.WARNING),
)
"""(letter, ground) for every pair in use."""


def contrast(first: str, second: str) -> float:
    """Contrast ratio of two colours ``#RRGGBB``, 1 … 21, by the formula of WCAG 2.2 ('contrast ratio')."""

    def luminance(colour: str) -> float:
        channels = (int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5))
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    lighter, darker = sorted((luminance(first), luminance(second)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)

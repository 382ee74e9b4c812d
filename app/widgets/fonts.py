"""The project's fonts: one text font and our own font of musical signs, the same on every machine."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from PySide6.QtGui import QFont, QFontDatabase

from app.resources import asset

TEXT_FAMILY: Final = "Atkinson Hyperlegible Next"
SIGNS_FAMILY: Final = "Phrasebench Signs"
FAMILIES: Final = [TEXT_FAMILY, SIGNS_FAMILY]
"""What the first lacks is found in the second."""

FONT_FILES: Final = (
    "fonts/AtkinsonHyperlegibleNext-Regular.ttf",
    "fonts/AtkinsonHyperlegibleNext-SemiBold.ttf",
    "fonts/PhrasebenchSigns.ttf",
    "fonts/PhrasebenchSigns-SemiBold.ttf",
)

SMALLEST_POINTS: Final = 9.0
"""No text of the window is set smaller, whatever the system's font says."""


@lru_cache(maxsize=1)
def load_fonts() -> None:
    """Make the fonts known to the window; the second call does nothing."""
    for name in FONT_FILES:
        QFontDatabase.addApplicationFontFromData(asset(name))


def window_font(system: QFont, percent: int = 100) -> QFont:
    """The window's font in the size that the system asks for, or so many percent of it."""
    font = QFont(FAMILIES)
    points = system.pointSizeF()
    if points <= 0:
        points = system.pixelSize() * 0.75
    font.setPointSizeF(max(SMALLEST_POINTS, points) * percent / 100)
    return font


@lru_cache(maxsize=256)
def picture_font(pixels: float, *, bold: bool) -> QFont:
    """A font for text in a picture.

    Args:
        pixels: its height, as `core.drawing.shapes.Text` states it.
        bold: weight 600 instead of 400.
    """
    font = QFont(FAMILIES)
    font.setPixelSize(max(1, round(pixels)))
    font.setWeight(QFont.Weight.DemiBold if bold else QFont.Weight.Normal)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return font

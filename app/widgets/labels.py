"""Labels on the window's one type scale."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QLabel, QWidget

SCALE: Final = {"small": 0.9, "text": 1.0, "title": 1.35, "number": 1.9}
"""Sizes in proportion to the system's own."""


def label(
    text: str = "", parent: QWidget | None = None, *, look: str = "", size: str = "text", bold: bool = False
) -> QLabel:
    """A plain-text label.

    Args:
        text: what it says.
        parent: the widget it lies in.
        look: which dress of the style sheet it wears.
        size: a step of the type scale.
        bold: weight 600.
    """
    made = QLabel(text, parent)
    made.setTextFormat(Qt.TextFormat.PlainText)
    if look:
        made.setProperty("look", look)
    if size != "text" or bold:
        made.setFont(sized(made.font(), SCALE[size], bold=bold))
    return made


def sized(font: QFont, factor: float, *, bold: bool = False) -> QFont:
    """A font in another size and weight."""
    other = QFont(font)
    other.setPointSizeF(font.pointSizeF() * factor)
    if bold:
        other.setWeight(QFont.Weight.DemiBold)
    return other

"""Labels on the window's one type scale."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QApplication, QLabel, QWidget

SCALE: Final = {"small": 0.9, "text": 1.0, "title": 1.35, "number": 1.9}
"""Sizes in proportion to the system's own."""
STEP: Final = "step"
"""The property that says on which step of the type scale a widget's text stands."""


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
        size_text(made, size, bold=bold)
    return made


def size_text(widget: QWidget, size: str, *, bold: bool = False) -> None:
    """Set a widget's text in a step of the type scale, also after the size of the whole has changed."""
    widget.setProperty(STEP, size)
    widget.setFont(sized(QApplication.font(), SCALE[size], bold=bold))


def size_texts_again() -> None:
    """Set every text on the type scale anew, since the size of the whole is another one."""
    for widget in QApplication.allWidgets():
        step = widget.property(STEP)
        if step is not None:
            bold = widget.font().weight() >= QFont.Weight.DemiBold
            widget.setFont(sized(QApplication.font(), SCALE[step], bold=bold))


def sized(font: QFont, factor: float, *, bold: bool = False) -> QFont:
    """A font in another size and weight."""
    other = QFont(font)
    other.setPointSizeF(font.pointSizeF() * factor)
    if bold:
        other.setWeight(QFont.Weight.DemiBold)
    return other

"""Where the keyboard's attention is can be seen on every control: some of what changes stands out at 3 to 1."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtGui import QColor, QImage
from PySide6.QtWidgets import QAbstractButton, QAbstractSpinBox, QApplication, QComboBox, QScrollArea, QSlider, QWidget

from tests.helpers.open_window import open_window
from tests.helpers.songs import night_ferry
from tests.journeys.screens import MOMENTS

LEAST = 3.0
"""WCAG 2.2, 2.4.11 and 1.4.11: the contrast of what shows the focus with what was there without it."""
KINDS = (QAbstractButton, QAbstractSpinBox, QComboBox, QSlider)


def picture_of(widget: QWidget) -> QImage:
    """The widget on the ground on which it lies."""
    window = widget.window()
    return window.grab(QRect(widget.mapTo(window, QPoint()), widget.size())).toImage()


def bring_into_sight(widget: QWidget) -> None:
    """Scroll to a widget, as Tab does."""
    around = widget.parentWidget()
    while around is not None:
        if isinstance(around, QScrollArea):
            around.ensureWidgetVisible(widget)
        around = around.parentWidget()


def luminance(colour: QColor) -> float:
    """Relative luminance, WCAG 2.2."""
    shares = (colour.redF(), colour.greenF(), colour.blueF())
    linear = [c / 12.92 if c <= 0.04045 else float(((c + 0.055) / 1.055) ** 2.4) for c in shares]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def most_contrast(before: QImage, after: QImage) -> float:
    """The largest contrast of a pixel with what it was."""
    pairs = {
        (before.pixel(x, y), after.pixel(x, y))
        for x in range(before.width())
        for y in range(before.height())
        if before.pixel(x, y) != after.pixel(x, y)
    }
    found = 1.0
    for one, other in pairs:
        dark, light = sorted((luminance(QColor(one)), luminance(QColor(other))))
        found = max(found, (light + 0.05) / (dark + 0.05))
    return found


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("name", ["listen", "draft", "own_pattern", "new_lesson", "outputs"])
def test_the_focus_can_be_seen(name: str, theme: str, tmp_path: Path, qapp: QApplication) -> None:
    with open_window(night_ferry(), tmp_path) as opened:
        opened.settings.change(theme=theme)
        MOMENTS[name](opened)
        opened.window.activateWindow()
        qapp.processEvents()
        weak = {}
        for widget in opened.window.findChildren(QWidget):
            tabbed = bool(widget.focusPolicy() & Qt.FocusPolicy.TabFocus)
            if not (isinstance(widget, KINDS) and tabbed and widget.isVisible() and widget.isEnabled()):
                continue
            bring_into_sight(widget)
            widget.clearFocus()
            qapp.processEvents()
            before = picture_of(widget)
            widget.setFocus(Qt.FocusReason.TabFocusReason)
            qapp.processEvents()
            contrast = most_contrast(before, picture_of(widget))
            if contrast < LEAST:
                weak[widget.accessibleName() or type(widget).__name__] = round(contrast, 2)
    assert weak == {}

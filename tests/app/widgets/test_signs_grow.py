"""Boxes to tick and arrows are as much larger than usual as the text beside them."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QApplication, QCheckBox, QComboBox, QStyle, QStyleOptionButton, QStyleOptionComboBox

from tests.helpers.open_window import USUAL_PERCENT, themes_of


def box_and_arrow() -> tuple[int, int]:
    """The width of a box to tick, and of what a list's arrow stands in, at the size that text has now."""
    box, choice = QCheckBox("Opening"), QComboBox()
    about_box, about_choice = QStyleOptionButton(), QStyleOptionComboBox()
    box.ensurePolished()
    choice.ensurePolished()
    box.initStyleOption(about_box)
    choice.resize(300, 60)
    choice.initStyleOption(about_choice)
    arrow = QStyle.SubControl.SC_ComboBoxArrow
    return (
        box.style().subElementRect(QStyle.SubElement.SE_CheckBoxIndicator, about_box, box).width(),
        choice.style().subControlRect(QStyle.ComplexControl.CC_ComboBox, about_choice, arrow, choice).width(),
    )


@pytest.mark.parametrize("percent", [125, 150, 200])
def test_signs_grow_with_the_text(percent: int, qapp: QApplication) -> None:
    themes_of(qapp).scale_text(USUAL_PERCENT)
    usual = box_and_arrow()
    themes_of(qapp).scale_text(percent)
    larger = box_and_arrow()
    themes_of(qapp).scale_text(USUAL_PERCENT)
    for before, after in zip(usual, larger, strict=True):
        assert after == pytest.approx(before * percent / USUAL_PERCENT, abs=3)

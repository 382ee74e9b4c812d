"""Every page with all text twice its size, in a small window: nothing is cut off."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtWidgets import (
    QAbstractSlider,
    QApplication,
    QCheckBox,
    QComboBox,
    QLabel,
    QPushButton,
    QStyle,
    QStyleOptionComboBox,
    QWidget,
)

from app.widgets.selection import Kind, Place
from core.drawing.shapes import Subject
from tests.helpers.open_window import open_window
from tests.helpers.songs import night_ferry
from tests.journeys.screens import MOMENTS

TWICE = 200
SMALL = (1280, 720)
SLACK = 2
"""Pixels by which a font's own measures may differ from what it draws."""
PAGES = sorted(name for name in MOMENTS if not name.endswith("_large_text"))
SHORTENED = frozenset({"facts", "path"})
"""What says in its tooltip what it has no room for."""


def cut_off(window: QWidget) -> list[str]:
    """What a label, a button or a closed list has no room to show."""
    found = []
    for widget in window.findChildren(QWidget):
        if not widget.isVisible() or widget.objectName() in SHORTENED:
            continue
        if isinstance(widget, QLabel) and widget.text():
            wide, high = widget.sizeHint().width(), widget.sizeHint().height()
            if widget.wordWrap():
                wide, high = 0, widget.heightForWidth(widget.width())
            if wide > widget.width() + SLACK or high > widget.height() + SLACK:
                found.append(widget.text())
        elif isinstance(widget, QPushButton | QCheckBox) and widget.text():
            wanted = widget.minimumSizeHint()
            if wanted.width() > widget.width() + SLACK or wanted.height() > widget.height() + SLACK:
                found.append(widget.text())
        elif isinstance(widget, QComboBox):
            option = QStyleOptionComboBox()
            widget.initStyleOption(option)
            room = widget.style().subControlRect(
                QStyle.ComplexControl.CC_ComboBox, option, QStyle.SubControl.SC_ComboBoxEditField, widget
            )
            if widget.fontMetrics().horizontalAdvance(widget.currentText()) > room.width() + SLACK:
                found.append(widget.currentText())
    return found


@pytest.mark.parametrize("name", PAGES)
def test_nothing_is_cut_off(name: str, tmp_path: Path, qapp: QApplication) -> None:
    with open_window(night_ferry(), tmp_path, SMALL) as opened:
        opened.settings.change(text_scale=TWICE)
        MOMENTS[name](opened)
        qapp.processEvents()
        qapp.processEvents()
        found = cut_off(opened.window)
        opened.settings.change(text_scale=100)
    assert found == []


def test_what_is_selected_stays_in_sight_when_the_text_grows_unless_it_was_scrolled_away_from(
    tmp_path: Path, qapp: QApplication
) -> None:
    with open_window(night_ferry(), tmp_path, SMALL) as opened:
        sheet = opened.window.page.sheet
        opened.window.selection.select(Place(3, Kind.NOTE, 0))
        opened.settings.change(text_scale=TWICE)
        qapp.processEvents()
        qapp.processEvents()

        def is_seen() -> bool:
            row = sheet.rows[2]
            note = row.box_of(Subject("note", 3, 0))
            assert note is not None
            top = note.translated(row.pos()).top() - sheet.verticalScrollBar().value()
            return 0 <= top < sheet.viewport().height()

        assert is_seen()
        sheet.verticalScrollBar().triggerAction(QAbstractSlider.SliderAction.SliderToMinimum)
        opened.settings.change(text_scale=150)
        qapp.processEvents()
        qapp.processEvents()
        assert not is_seen()
        opened.settings.change(text_scale=100)

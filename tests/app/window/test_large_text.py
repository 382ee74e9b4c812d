"""Every page with all text up to twice its size, in a small window: nothing is cut off."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QRect, Qt
from PySide6.QtWidgets import (
    QAbstractItemView,
    QAbstractSlider,
    QAbstractSpinBox,
    QApplication,
    QCheckBox,
    QComboBox,
    QLabel,
    QLineEdit,
    QPushButton,
    QStyle,
    QStyleOptionComboBox,
    QTableView,
    QWidget,
)

from app.camera.segment_line import GAP, INSET, SegmentList
from app.songs.song_list import CELL_MARGIN
from app.widgets.selection import Kind, Place
from core.drawing.shapes import Subject
from tests.helpers.open_window import open_window
from tests.helpers.songs import night_ferry
from tests.journeys.pictures import PASSES
from tests.journeys.screens import MOMENTS

TWICE = 200
PERCENTS = (TWICE, 175, 150, 125, 100, 180)
SMALL = (1280, 720)
LINE_INSET = 2
"""Pixels that a line of text keeps free at either end."""
TALL = 10_000
SLACK = 2
"""Pixels by which a font's own measures may differ from what it draws."""
PAGES = sorted(name for name in MOMENTS if not name.endswith("_large_text"))
SHORTENED = frozenset({"facts", "path"})
"""What says in its tooltip what it has no room for."""


def lacks_room(widget: QWidget) -> list[str]:
    """What a widget has no room to show."""
    letters = widget.fontMetrics()
    if isinstance(widget, QLabel) and widget.text():
        wide, high = widget.sizeHint().width(), widget.sizeHint().height()
        if widget.wordWrap():
            wide, high = 0, widget.heightForWidth(widget.width())
        fits = wide <= widget.width() + SLACK and high <= widget.height() + SLACK
        return [] if fits else [widget.text()]
    if isinstance(widget, QPushButton | QCheckBox) and widget.text():
        wanted = widget.minimumSizeHint()
        fits = wanted.width() <= widget.width() + SLACK and wanted.height() <= widget.height() + SLACK
        return [] if fits else [widget.text()]
    if isinstance(widget, QComboBox):
        option = QStyleOptionComboBox()
        widget.initStyleOption(option)
        part = QStyle.SubControl.SC_ComboBoxEditField
        room = widget.style().subControlRect(QStyle.ComplexControl.CC_ComboBox, option, part, widget)
        fits = letters.horizontalAdvance(widget.currentText()) <= room.width() + SLACK
        return [] if fits else [widget.currentText()]
    if isinstance(widget, QLineEdit):
        text = widget.placeholderText() if not widget.text() else ""
        if isinstance(widget.parentWidget(), QAbstractSpinBox):
            text = widget.displayText()
        margins = widget.textMargins()
        wide = widget.contentsRect().width() - margins.left() - margins.right() - 2 * LINE_INSET
        fits = letters.horizontalAdvance(text) <= wide + SLACK and letters.height() <= widget.height()
        return [] if fits else [text]
    if isinstance(widget, QAbstractItemView):
        return [*rows_cut_off(widget), *titles_cut_off(widget)]
    return []


def rows_cut_off(view: QAbstractItemView) -> list[str]:
    """The texts in sight that are wider than their cell, or whose lines are higher."""
    letters, found = view.fontMetrics(), []
    margin = CELL_MARGIN
    if isinstance(view, SegmentList):
        margin = letters.horizontalAdvance("00:00") + GAP + 2 * INSET
    for row in range(view.model().rowCount()):
        for column in range(view.model().columnCount() if isinstance(view, QTableView) else 1):
            index = view.model().index(row, column)
            box = view.visualRect(index)
            if not box.isValid() or box.top() >= view.viewport().height():
                continue
            room = QRect(0, 0, box.width() - margin, TALL)
            lines = letters.boundingRect(room, Qt.TextFlag.TextWordWrap.value, str(index.data()))
            if lines.width() > room.width() or lines.height() > box.height() or box.width() > view.viewport().width():
                found.append(str(index.data()))
    return found


def titles_cut_off(view: QAbstractItemView) -> list[str]:
    """The titles of a table's columns that have no room."""
    if not isinstance(view, QTableView):
        return []
    header = view.horizontalHeader()
    return [
        str(view.model().headerData(column, Qt.Orientation.Horizontal))
        for column in range(header.count())
        if not header.isSectionHidden(column) and header.sectionSizeHint(column) > header.sectionSize(column) + SLACK
    ]


def cut_off(window: QWidget) -> list[str]:
    """What anything in sight has no room to show."""
    return [
        text
        for widget in window.findChildren(QWidget)
        if widget.isVisible() and widget.objectName() not in SHORTENED
        for text in lacks_room(widget)
    ]


@pytest.mark.parametrize("name", PAGES)
def test_nothing_is_cut_off(name: str, tmp_path: Path, qapp: QApplication) -> None:
    """At twice the size, where the page is made so, and at every size on the way back."""
    with open_window(night_ferry(), tmp_path, SMALL) as opened:
        found: dict[int, list[str]] = {}
        opened.settings.change(text_scale=TWICE)
        MOMENTS[name](opened)
        for percent in PERCENTS:
            opened.settings.change(text_scale=percent)
            for _ in range(PASSES):
                qapp.processEvents()
            if cut := cut_off(opened.window):
                found[percent] = cut
        opened.settings.change(text_scale=100)
    assert found == {}


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

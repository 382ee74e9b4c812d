"""The keyboard at the window's foot: its size, its names, its brackets, its height, and no key ever left down."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.widgets.painting import paint
from app.widgets.selection import Kind, Place
from core.drawing.hand_brackets import HandBracket
from core.drawing.keyboard import SIZES
from core.drawing.shapes import Text
from core.song.note import Hand
from tests.helpers.open_window import OpenWindow, themes_of
from tests.helpers.sheet_hands import SheetHands, move_mouse

LEFT = Qt.MouseButton.LeftButton


def written_names(opened: OpenWindow) -> set[str]:
    shapes = opened.window.page.keyboard.picture.shapes
    return {shape.text for shape in shapes if isinstance(shape, Text) and not shape.text.isdigit()}


@pytest.mark.parametrize("size", list(SIZES))
def test_a_keyboard_of_the_chosen_size_is_shown(opened: OpenWindow, size: int) -> None:
    opened.settings.change(keys_shown=size)
    first, last = opened.window.page.keyboard.keys_shown
    assert last - first + 1 == size
    opened.settings.change(keys_shown=0)
    first, last = opened.window.page.keyboard.keys_shown
    notes = {note.pitch.midi for _, note in opened.song.placed_notes()}
    assert first < min(notes)
    assert max(notes) < last


def test_names_are_written_on_demand_as_the_song_spells_them(opened: OpenWindow) -> None:
    assert written_names(opened) <= {"middle C", "mid C", "C"}
    opened.window.menus.key_names.trigger()
    SheetHands(opened).click("note", 2, 0)
    assert {"C", "D", "E", "F", "G", "A", "B", "C♯"} <= written_names(opened)
    opened.window.menus.key_names.trigger()
    assert "D" not in written_names(opened)


def test_a_bracket_shows_where_each_hand_lies(opened: OpenWindow) -> None:
    opened.window.selection.select(Place(1, Kind.NOTE, 0))
    brackets = {bracket.hand: bracket for bracket in opened.window.page.keyboard.brackets}
    assert brackets[Hand.RIGHT] == HandBracket(Hand.RIGHT, 64, 71)
    left = brackets[Hand.LEFT]
    lit = [midi for midi, key in opened.window.page.keyboard.lit.items() if key.hand is Hand.LEFT]
    assert left.little <= min(lit)
    assert max(lit) <= left.thumb


def test_the_upper_edge_is_dragged_and_the_height_kept(opened: OpenWindow) -> None:
    band = opened.window.page.band
    usual = band.keyboard.height()
    start = band.grip.rect().center()
    on_screen = band.grip.mapToGlobal(start)
    QTest.mousePress(band.grip, LEFT, pos=start)
    move_mouse(band.grip, on_screen - QPoint(0, 40), Qt.KeyboardModifier.NoModifier)
    QTest.mouseRelease(band.grip, LEFT)
    assert band.keyboard.height() == usual + 40
    assert opened.settings.settings.keyboard_height == usual + 40
    QTest.mouseDClick(band.grip, LEFT)
    assert band.keyboard.height() == usual


def test_the_height_changes_with_the_arrow_keys_and_leaves_room_for_the_sheet(opened: OpenWindow) -> None:
    band = opened.window.page.band
    usual = band.keyboard.height()
    QTest.keyClick(band.grip, Qt.Key.Key_Up)
    assert band.keyboard.height() == usual + 8
    for _ in range(100):
        QTest.keyClick(band.grip, Qt.Key.Key_Up)
    assert band.keyboard.height() < opened.window.page.height() / 2
    QTest.keyClick(band.grip, Qt.Key.Key_Home)
    assert band.keyboard.height() == usual


@pytest.mark.parametrize("what", [QEvent.Type.WindowDeactivate, QEvent.Type.UngrabMouse])
def test_a_pressed_key_falls_silent_when_the_window_loses_the_mouse(opened: OpenWindow, what: QEvent.Type) -> None:
    keyboard = opened.window.page.keyboard
    released: list[int] = []
    keyboard.key_released.connect(released.append)
    QTest.mousePress(keyboard, LEFT, pos=keyboard.point_on(60).toPoint())
    QApplication.sendEvent(keyboard, QEvent(what))
    assert released == [60]


def test_a_pressed_key_falls_silent_outside_the_keyboard_and_when_the_window_closes(opened: OpenWindow) -> None:
    keyboard = opened.window.page.keyboard
    released: list[int] = []
    keyboard.key_released.connect(released.append)
    QTest.mousePress(keyboard, LEFT, pos=keyboard.point_on(62).toPoint())
    move_mouse(keyboard, keyboard.mapToGlobal(QPoint(50, -80)), Qt.KeyboardModifier.NoModifier)
    assert released == [62]
    QTest.mousePress(keyboard, LEFT, pos=keyboard.point_on(64).toPoint())
    opened.window.close()
    assert released == [62, 64]


def test_keys_that_are_lit_and_put_out_again_look_as_if_painted_afresh(opened: OpenWindow) -> None:
    keyboard = opened.window.page.keyboard
    for place in (Place(2, Kind.NOTE, 0), Place(2, Kind.CHORD, 1), Place(3, Kind.NOTE, 2)):
        opened.window.selection.select(place)
        shown = keyboard.grab().toImage()
        afresh = QImage(shown.size(), shown.format())
        afresh.fill(0)
        painter = QPainter(afresh)
        paint(painter, keyboard.picture, themes_of(application()).theme)
        painter.end()
        ground = keyboard.palette().window().color()
        differing = sum(
            1
            for x in range(0, shown.width(), 3)
            for y in range(17, shown.height(), 3)
            if _far(shown.pixelColor(x, y), afresh.pixelColor(x, y)) and afresh.pixelColor(x, y) != ground
        )
        assert differing == 0


def application() -> QApplication:
    found = QApplication.instance()
    assert isinstance(found, QApplication)
    return found


def _far(first: QColor, second: QColor) -> bool:
    steps = (first.red() - second.red(), first.green() - second.green(), first.blue() - second.blue())
    return second.alpha() == 255 and any(abs(step) > 8 for step in steps)

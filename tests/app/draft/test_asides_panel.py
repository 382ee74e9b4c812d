"""Asides beside the sheet: typed at what is selected, shown at their place, gone when they say nothing."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.draft.asides_panel import AsidesPanel
from app.widgets.button import Button
from app.widgets.selection import Kind, Place
from core.song.part import Aside
from core.song.time import TICKS_PER_QUARTER as QUARTER
from tests.helpers.open_window import OpenWindow


def panel_of(opened: OpenWindow) -> AsidesPanel:
    return opened.window.page.draft_panel.asides


def shown(panel: AsidesPanel) -> list[tuple[str, str]]:
    return [(row.place.text(), row.field.toPlainText()) for row in panel.rows]


def type_at(opened: OpenWindow, place: Place, text: str) -> None:
    """Type an aside that comes first in its part."""
    opened.window.selection.select(place)
    panel_of(opened).add_here()
    QTest.keyClicks(panel_of(opened).rows[0].field, text)


def link(panel: AsidesPanel, text: str) -> Button:
    return next(button for button in panel.rows[0].findChildren(Button) if button.text() == text)


def test_an_aside_is_typed_at_the_selected_note(opened: OpenWindow) -> None:
    panel = panel_of(opened)
    opened.window.selection.select(Place(1, Kind.NOTE, 4))
    sheet = opened.window.page.sheet
    sheet.setFocus()
    QTest.keyClick(sheet, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
    assert panel.rows[0].field.hasFocus()
    assert not opened.song.part(1).asides, "an aside that says nothing is none"
    QTest.keyClicks(panel.rows[0].field, "Long one.")
    assert opened.song.part(1).asides == (Aside(4 * QUARTER, "Long one."),)
    assert shown(panel) == [("Bar 2, beat 1", "Long one.")]
    assert opened.document.undo_stack.count() == 1
    opened.document.undo_stack.undo()
    assert not opened.song.part(1).asides
    opened.document.undo_stack.redo()
    opened.window.selection.select(Place(2))
    assert shown(panel) == []
    opened.window.selection.select(Place(1))
    assert shown(panel) == [("Bar 2, beat 1", "Long one.")]


def test_at_a_chord_it_belongs_to_the_left_hand_and_stands_before_later_ones(opened: OpenWindow) -> None:
    panel = panel_of(opened)
    type_at(opened, Place(1, Kind.NOTE, 4), "Later")
    type_at(opened, Place(1, Kind.CHORD, 0), "Just the E")
    assert opened.song.part(1).asides == (Aside(0, "Just the E", "left_hand"), Aside(4 * QUARTER, "Later"))
    assert shown(panel) == [("Bar 1, beat 1", "Just the E"), ("Bar 2, beat 1", "Later")]


def test_one_that_is_emptied_goes_when_the_field_is_left_and_comes_back_with_undo(opened: OpenWindow) -> None:
    panel = panel_of(opened)
    type_at(opened, Place(1), "Slowly")
    opened.window.page.sheet.setFocus()
    field = panel.rows[0].field
    field.setFocus()
    field.selectAll()
    QTest.keyClick(field, Qt.Key.Key_Delete)
    assert not opened.song.part(1).asides
    assert field.hasFocus(), "the field stays while it is being typed in"
    QTest.keyClicks(field, "Fast")
    assert [aside.text for aside in opened.song.part(1).asides] == ["Fast"]
    field.selectAll()
    QTest.keyClick(field, Qt.Key.Key_Delete)
    opened.window.page.sheet.setFocus()
    assert shown(panel) == []
    opened.document.undo_stack.undo()
    assert shown(panel) == [("Bar 1, beat 1", "Slowly")]


def test_one_is_removed_by_its_link_and_a_press_on_its_place_shows_the_bar(opened: OpenWindow) -> None:
    panel = panel_of(opened)
    type_at(opened, Place(3, Kind.NOTE, 3), "Here")
    opened.window.page.sheet.setFocus()
    onset = opened.song.part(3).asides[0].onset
    heard: list[int] = []
    panel.moment_wanted.connect(heard.append)
    QTest.mouseClick(panel.rows[0].place, Qt.MouseButton.LeftButton)
    assert heard == [opened.song.part_onsets[2] + onset]
    link(panel, "Remove").click()
    assert not opened.song.part(3).asides
    assert shown(panel) == []


def test_one_is_moved_to_the_selected_note(opened: OpenWindow) -> None:
    panel = panel_of(opened)
    type_at(opened, Place(1), "Relax")
    opened.window.selection.select(Place(1, Kind.NOTE, 4))
    link(panel, "Move here").click()
    assert opened.song.part(1).asides == (Aside(4 * QUARTER, "Relax", "together"),)
    assert shown(panel) == [("Bar 2, beat 1", "Relax")]
    opened.window.selection.select(Place(1))
    link(panel, "Move here").click()
    assert shown(panel) == [("Bar 2, beat 1", "Relax")], "a part is no moment"

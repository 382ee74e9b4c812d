"""The selected part as a list in words, which follows the selection, as the selection follows it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.widgets.selection import Kind, Place
from app.window.reading_list import ReadingList, lines_of
from tests.helpers.open_window import OpenWindow
from tests.helpers.sheet_hands import SheetHands
from tests.helpers.songs import night_ferry


def reading(opened: OpenWindow) -> ReadingList:
    opened.window.menus.reading.trigger()
    found = opened.window.findChild(ReadingList)
    assert found is not None
    return found


def test_a_part_is_read_in_the_order_of_time_between_its_cuts() -> None:
    lines = lines_of(night_ferry(), 2)
    assert lines[0][0] == "Cut between part 1 and part 2, behind bar 4, beat 1" or lines[0][0].startswith("Cut")
    assert lines[1] == ("Part 2 of 3", Place(2))
    assert lines[-1][0].startswith("Cut between part 2 and part 3")
    part = night_ferry().parts[1]
    assert len(lines) == 3 + sum(note.melody for note in part.notes) + len(part.chords)
    onsets = [onset for _, place in lines if (onset := place.onset(night_ferry())) is not None]
    assert onsets == sorted(onsets)


def test_the_first_and_the_last_part_have_one_cut() -> None:
    assert lines_of(night_ferry(), 1)[0][1] == Place(1)
    assert not lines_of(night_ferry(), 1)[0][0].startswith("Cut")
    assert not lines_of(night_ferry(), 3)[-1][0].startswith("Cut")


def test_the_list_follows_the_selection_and_the_selection_the_list(opened: OpenWindow) -> None:
    words = reading(opened)
    opened.window.selection.select(Place(2, Kind.CHORD, 1))
    assert words.currentItem().text().startswith("Part 2, chord 2 of")
    QTest.keyClick(words, Qt.Key.Key_Down)
    assert opened.window.selection.place.kind is Kind.NOTE
    assert opened.window.selection.place.part == 2
    QTest.keyClick(words, Qt.Key.Key_Right)
    assert words.currentItem().text() == "Part 3 of 3"
    words.setCurrentRow(0)
    assert words.currentItem().text().startswith("Cut between part 2 and part 3")
    assert opened.window.selection.place == Place(3)


def test_an_edit_is_read_at_once(opened: OpenWindow) -> None:
    words = reading(opened)
    hands = SheetHands(opened)
    hands.click("note", 2, 0)
    hands.type("d")
    assert ": D, " in words.currentItem().text()


def test_enter_leads_to_the_sheet_and_the_key_puts_the_list_away(opened: OpenWindow) -> None:
    words = reading(opened)
    assert words.hasFocus()
    QTest.keyClick(words, Qt.Key.Key_Return)
    assert opened.window.page.sheet.hasFocus()
    opened.window.menus.reading.trigger()
    assert not words.isVisible()
    assert opened.window.page.sheet.hasFocus()

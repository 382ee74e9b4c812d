"""Chords named with completion, pins dragged, cuts dragged with the effort on both sides in sight."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from app.draft.chord_suggestions import ChordSuggestions
from app.listen.piece import Piece
from core.session.analysis import part_effort
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from core.theory.chord_symbols import write_chord
from tests.helpers.open_window import OpenWindow
from tests.helpers.sheet_hands import LEFT, SheetHands, move_mouse

QUARTER = TICKS_PER_QUARTER


@pytest.fixture
def hands(opened: OpenWindow) -> SheetHands:
    return SheetHands(opened)


def suggestions(hands: SheetHands) -> ChordSuggestions:
    found = hands.opened.window.page.desk.chord_field.suggestions
    assert found is not None
    return found


def type_chord(hands: SheetHands, text: str) -> None:
    field = hands.opened.window.page.desk.chord_field.field
    assert field is not None
    field.selectAll()
    QTest.keyClicks(field, text)


def press_in_field(hands: SheetHands, *keys: Qt.Key) -> None:
    for key in keys:
        field = hands.opened.window.page.desk.chord_field.field
        assert field is not None
        QTest.keyClick(field, key)


def chord_name(hands: SheetHands, part: int, index: int) -> str:
    return write_chord(hands.opened.song.parts[part - 1].chords[index].symbol)


def test_a_typed_beginning_is_completed_from_the_song_and_its_key(hands: SheetHands) -> None:
    hands.double_click("chord", 2, 1)
    type_chord(hands, "E")
    assert suggestions(hands).isVisible()
    assert suggestions(hands).names[0] == "Em"
    press_in_field(hands, Qt.Key.Key_Down, Qt.Key.Key_Return)
    assert chord_name(hands, 2, 1) == "Em"
    assert hands.opened.window.page.desk.chord_field.field is None


def test_tab_completes_and_enter_names(hands: SheetHands) -> None:
    hands.double_click("chord", 2, 1)
    type_chord(hands, "Bm")
    wanted = suggestions(hands).names[0]
    press_in_field(hands, Qt.Key.Key_Tab)
    field = hands.opened.window.page.desk.chord_field.field
    assert field is not None
    assert field.text() == wanted
    press_in_field(hands, Qt.Key.Key_Return)
    assert chord_name(hands, 2, 1) == wanted


def test_a_suggestion_is_taken_with_the_mouse(hands: SheetHands) -> None:
    hands.double_click("chord", 2, 1)
    type_chord(hands, "D")
    listed = suggestions(hands)
    wanted = listed.names[1]
    QTest.mouseClick(listed.viewport(), LEFT, pos=listed.visualItemRect(listed.item(1)).center())
    assert chord_name(hands, 2, 1) == wanted


def test_what_is_typed_counts_where_no_suggestion_was_chosen(hands: SheetHands) -> None:
    hands.double_click("chord", 2, 1)
    type_chord(hands, "E")
    press_in_field(hands, Qt.Key.Key_Down, Qt.Key.Key_Up, Qt.Key.Key_Return)
    assert chord_name(hands, 2, 1) == "E"


def test_typing_on_a_selected_chord_suggests_at_once(hands: SheetHands) -> None:
    hands.click("chord", 2, 0)
    hands.type("d")
    assert all(name.startswith("D") for name in suggestions(hands).names)
    press_in_field(hands, Qt.Key.Key_Escape)
    assert chord_name(hands, 2, 0) == "A"


def test_a_pin_dragged_near_a_note_lands_with_it(hands: SheetHands) -> None:
    before = hands.opened.song
    row = hands.row(2)
    zoom = row.height() / row.picture.height
    beat = row.layout_of_row.pixels_per_tick * QUARTER * zoom
    hands.drag_subject("landing", 2, 1, round(1.3 * beat), 0)
    chords = hands.opened.song.parts[1].chords
    assert chords[1].onset == 9 * QUARTER
    assert chords[0].end == chords[1].onset
    assert any(note.onset == chords[1].onset for note in hands.opened.song.parts[1].melody)
    hands.opened.document.undo_stack.undo()
    assert hands.opened.song is before


def test_while_a_cut_is_dragged_the_effort_of_both_sides_is_seen(hands: SheetHands) -> None:
    row = hands.row(1)
    beat = round(row.layout_of_row.pixels_per_tick * QUARTER * row.height() / row.picture.height)
    handle = hands.sheet.cuts[0]
    start = handle.rect().center()
    on_screen = handle.mapToGlobal(start)
    QTest.mousePress(handle, LEFT, pos=start)
    move_mouse(handle, on_screen - QPoint(2 * beat, 0), Qt.KeyboardModifier.NoModifier)
    shown: Song = hands.sheet.shown_song
    words = hands.sheet.cut_effort
    assert words.isVisible()
    for number in (1, 2):
        assert f"Part {number}: effort {round(part_effort(shown, number).total)}" in words.text()
    QTest.mouseRelease(handle, LEFT)
    assert not words.isVisible()


def test_an_abandoned_drag_of_a_cut_takes_its_words_away(hands: SheetHands) -> None:
    before = hands.opened.song
    handle = hands.sheet.cuts[0]
    start = handle.rect().center()
    QTest.mousePress(handle, LEFT, pos=start)
    move_mouse(handle, handle.mapToGlobal(start) - QPoint(90, 0), Qt.KeyboardModifier.NoModifier)
    QTest.keyClick(handle, Qt.Key.Key_Escape)
    assert not hands.sheet.cut_effort.isVisible()
    assert hands.sheet.shown_song is before


def test_the_line_below_the_sheet_tells_the_effort_on_both_sides_of_the_cut(hands: SheetHands) -> None:
    hands.click("note", 1, 0)
    efforts = [round(part_effort(hands.opened.song, part).total) for part in (1, 2)]
    text = hands.opened.window.page.draft_strip._where.text()
    assert f"effort {efforts[0]} before it, {efforts[1]} behind it" in text


def test_the_sheet_follows_the_playing_position_into_a_line_out_of_sight(opened: OpenWindow) -> None:
    sheet = opened.window.page.sheet
    opened.window.resize(1000, 520)
    opened.window.player.play(Piece("song"))
    sheet.verticalScrollBar().setValue(0)
    sheet.show_position(3, 0)
    row = sheet.rows[2]
    assert sheet.verticalScrollBar().value() > 0
    top = sheet.verticalScrollBar().value()
    assert top <= row.y() + row.height()
    sheet.verticalScrollBar().setValue(0)
    sheet.show_position(3, QUARTER)
    assert sheet.verticalScrollBar().value() == 0, "one may look elsewhere while the same line plays"

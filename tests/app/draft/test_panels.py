"""What to say, effort, things to look at, the typed line: they follow the song, and change it."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.widgets.selection import Kind, Place
from core.edits.note_text import write_line
from core.edits.rename_note import rename_note
from core.session.analysis import analyse_part
from core.song.pitch import NoteName
from tests.helpers.open_window import OpenWindow
from tests.helpers.sheet_hands import SheetHands


def test_the_words_are_the_computed_ones_of_the_selected_part(opened: OpenWindow) -> None:
    opened.window.selection.select(Place(2))
    words = opened.window.page.draft_panel.words
    analysis = analyse_part(opened.song, 2)
    for kind in ("right_hand", "left_hand", "together"):
        assert words.kinds[kind].field.toPlainText() == analysis.words_of(kind)


def test_words_chords_landings_and_effort_follow_a_renamed_note_at_once(opened: OpenWindow) -> None:
    hands = SheetHands(opened)
    panel = opened.window.page.draft_panel
    before = panel.words.kinds["right_hand"].field.toPlainText()
    hands.click("note", 1, 1)
    hands.type("f#")
    after = panel.words.kinds["right_hand"].field.toPlainText()
    assert "F sharp" in after
    assert after != before
    assert after == analyse_part(opened.song, 1).words_of("right_hand")
    assert opened.window.page.draft_strip.line.field.text() == write_line(opened.song, 1)
    opened.document.undo_stack.undo()
    assert panel.words.kinds["right_hand"].field.toPlainText() == before


def test_own_words_are_typed_and_given_back(opened: OpenWindow) -> None:
    words = opened.window.page.draft_panel.words.kinds["together"]
    computed = words.field.toPlainText()
    words.field.setFocus()
    words.field.selectAll()
    QTest.keyClicks(words.field, "Both hands, slowly.")
    own = opened.song.parts[0].teaching.words_for("together")
    assert own is not None
    assert own.text == "Both hands, slowly."
    assert opened.document.undo_stack.count() == 1
    give_back = next(
        button for button in words.findChildren(type(words._back)) if "computed" in button.accessibleName()
    )
    give_back.click()
    assert opened.song.parts[0].teaching.words_for("together") is None
    assert words.field.toPlainText() == computed


def test_words_typed_are_undone_by_the_lessons_undo_even_in_the_field(opened: OpenWindow) -> None:
    words = opened.window.page.draft_panel.words.kinds["right_hand"]
    computed = words.field.toPlainText()
    words.field.setFocus()
    QTest.keyClicks(words.field, "So: ")
    assert opened.document.undo_stack.canUndo()
    QTest.keyClick(words.field, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert words.field.toPlainText() == computed
    assert opened.song.parts[0].teaching.words == ()


def test_own_words_older_than_the_notes_are_marked_until_looked_at(opened: OpenWindow) -> None:
    words = opened.window.page.draft_panel.words.kinds["right_hand"]
    words.field.setFocus()
    words.field.selectAll()
    QTest.keyClicks(words.field, "Up and down.")
    opened.document.apply(lambda song: rename_note(song, 1, 0, NoteName("D")), "name of a note")
    own = opened.song.parts[0].teaching.words_for("right_hand")
    assert own is not None
    assert own.review
    assert not words._accept.isHidden()
    assert words.field.toPlainText() == "Up and down."
    words._accept.click()
    own = opened.song.parts[0].teaching.words_for("right_hand")
    assert own is not None
    assert not own.review
    assert words._accept.isHidden()


def test_emptied_words_become_the_computed_ones_when_the_field_is_left(opened: OpenWindow) -> None:
    words = opened.window.page.draft_panel.words.kinds["together"]
    computed = words.field.toPlainText()
    words.field.setFocus()
    words.field.selectAll()
    QTest.keyClick(words.field, Qt.Key.Key_Delete)
    assert words.field.toPlainText() == ""
    opened.window.page.sheet.setFocus()
    assert words.field.toPlainText() == computed


def test_the_typed_line_changes_the_melody_while_it_is_typed(opened: OpenWindow) -> None:
    before = opened.song
    field = opened.window.page.draft_strip.line.field
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, "E G A B | c - G F#")
    names = [note.pitch.plain for note in opened.song.parts[0].melody]
    assert names == ["E4", "G4", "A4", "B4", "C5", "G4", "F#4"]
    assert opened.document.undo_stack.count() == 1
    opened.document.undo_stack.undo()
    assert opened.song is before


def test_a_mistake_in_the_line_is_said_with_its_place_and_changes_nothing(opened: OpenWindow) -> None:
    field = opened.window.page.draft_strip.line.field
    field.setFocus()
    QTest.keyClick(field, Qt.Key.Key_End)
    QTest.keyClicks(field, " ")
    QTest.keyClicks(field, "h")
    assert "at character" in opened.window.bar.text
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert field.text() == write_line(opened.song, 1)
    assert opened.document.undo_stack.count() == 0


def test_fingers_of_ones_own_outlive_a_retyped_line(opened: OpenWindow) -> None:
    hands = SheetHands(opened)
    hands.click("note", 1, 0)
    hands.type("3")
    field = opened.window.page.draft_strip.line.field
    line = field.text()
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, line[:-2] + "G")
    assert opened.song.parts[0].notes[0].finger == 3


def test_effort_and_things_to_look_at_are_those_of_the_part(opened: OpenWindow) -> None:
    opened.window.selection.select(Place(2, Kind.NOTE, 0))
    panel = opened.window.page.draft_panel
    analysis = analyse_part(opened.song, 2)
    assert str(round(analysis.effort.total)) in panel.effort._total.text()
    assert panel.effort._figures["reach"].text() == str(round(analysis.effort.causes.reach))
    assert panel.look_at.sentences == analysis.to_look_at


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("size", [(1280, 720), (1920, 1080), (900, 600)])
def test_no_words_are_cut_off(opened: OpenWindow, theme: str, size: tuple[int, int]) -> None:
    opened.settings.change(theme=theme)
    opened.window.resize(*size)
    QApplication.processEvents()
    for number in (1, 2, 3, 2):
        opened.window.selection.select(Place(number))
        for _ in range(4):
            QApplication.processEvents()
        for words in opened.window.page.draft_panel.words.kinds.values():
            field = words.field
            block = field.document().firstBlock()
            needed = field.blockBoundingRect(block).height() + field.document().documentMargin()
            assert field.viewport().height() >= needed, words.accessibleName()
            assert words.height() >= field.y() + field.height()

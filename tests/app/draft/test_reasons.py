"""Reasons: sentences that lead to their bar, and hints that say why."""

from __future__ import annotations

from msgspec.structs import replace
from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QHelpEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.widgets.row_hints import hint_about
from app.widgets.selection import Kind, Place
from core.drawing.shapes import Subject
from core.session.analysis import analyse_part
from core.session.cut_reasons import cut_reasons
from core.song.metre import bar_at
from core.song.part import OwnWords
from tests.helpers.open_window import OpenWindow
from tests.helpers.sheet_hands import SheetHands
from tests.helpers.songs import night_ferry


def test_a_press_on_a_thing_to_look_at_shows_its_bar(opened: OpenWindow) -> None:
    window = opened.window
    window.selection.select(Place(2))
    remark = next(remark for remark in analyse_part(opened.song, 2).remarks if remark.text.startswith("Bar 5"))
    line = next(line for line in window.page.draft_panel.look_at.lines if line.text() == remark.text)
    QTest.mouseClick(line, Qt.MouseButton.LeftButton)
    place = window.selection.place
    assert place == Place(2, Kind.CHORD, 1)
    bar = bar_at(opened.song.bars, remark.tick or 0)
    start = opened.song.part_onsets[1]
    row = window.page.sheet.rows[1]
    assert row._stretch == (bar.onset - start, bar.end - start)
    window.selection.select(Place(1))
    assert row._stretch is None


def test_enter_on_a_cause_of_effort_shows_where_it_comes_from(opened: OpenWindow) -> None:
    window = opened.window
    window.selection.select(Place(2))
    reason = next(reason for reason in analyse_part(opened.song, 2).effort.reasons if reason.cause)
    link = window.page.draft_panel.effort.causes[reason.cause]
    assert reason.text in link.toolTip()
    QTest.keyClick(link, Qt.Key.Key_Return)
    assert window.selection.place.part == opened.song.part_at(reason.tick)
    assert window.selection.place.kind is not Kind.PART


def test_a_remark_about_the_whole_part_is_no_link(opened: OpenWindow) -> None:
    part = opened.song.parts[0]
    words = (OwnWords("right_hand", "Old words.", review=True),)
    aged = replace(part, teaching=replace(part.teaching, words=words))
    opened.document.take(replace(opened.song, parts=(aged, *opened.song.parts[1:])))
    line = opened.window.page.draft_panel.look_at.lines[0]
    assert "older than the notes" in line.text()
    before = opened.window.selection.place
    QTest.mouseClick(line, Qt.MouseButton.LeftButton)
    assert opened.window.selection.place == before
    assert line.focusPolicy() == Qt.FocusPolicy.NoFocus


def test_a_hint_about_a_note_gives_its_fingers_reason() -> None:
    song = night_ferry()
    for index, fingered in enumerate(analyse_part(song, 2).fingers):
        hint = hint_about(song, Subject("note", 2, index))
        assert f"Finger {fingered.finger}: {fingered.reason}" in hint


def test_a_hint_about_a_landing_says_with_which_note_or_that_it_is_alone() -> None:
    song = night_ferry()
    assert "A major lands with the C♯, bar 3, beat 1" in hint_about(song, Subject("landing", 2, 0))
    assert "G major lands alone, bar 5, beat 1" in hint_about(song, Subject("landing", 2, 1))


def test_a_hint_about_a_chord_names_its_keys_and_fingers() -> None:
    song = night_ferry()
    assert "A with 5" in hint_about(song, Subject("chord", 2, 0))


def test_a_hint_about_a_part_tells_its_effort() -> None:
    song = night_ferry()
    assert f"effort {round(analyse_part(song, 2).effort.total)} of 100" in hint_about(song, Subject("part", 2))


def test_a_hint_about_a_chord_says_why_it_stands_there() -> None:
    assert "\nRoot position.\n" in hint_about(night_ferry(), Subject("chord", 2, 0))


def test_a_hint_about_a_cut_says_what_speaks_for_it(opened: OpenWindow) -> None:
    cut = opened.window.page.sheet.cuts[0]
    point = QPoint(20, 8)
    QApplication.sendEvent(cut, QHelpEvent(QEvent.Type.ToolTip, point, cut.mapToGlobal(point)))
    told = "\n".join(cut_reasons(opened.song, 1))
    assert told
    assert cut.toolTip() == f"Cut after bar 2: drag it sideways, or press the left and right arrow keys\n{told}"
    assert hint_about(opened.song, Subject("cut", 1)) == told
    assert hint_about(opened.song, Subject("cut", len(opened.song.parts))) == ""


def test_there_is_no_hint_about_nothing() -> None:
    song = night_ferry()
    assert hint_about(song, None) == ""
    assert hint_about(song, Subject("note", 2, 99)) == ""
    assert hint_about(song, Subject("key", 0, 60)) == ""


def test_a_hint_about_a_suggested_chord_says_why_and_how_to_confirm_it(opened: OpenWindow) -> None:
    song = opened.song
    part = song.parts[1]
    guessed = replace(part, chords=tuple(replace(chord, given=False) for chord in part.chords))
    opened.document.take(replace(song, parts=(song.parts[0], guessed, *song.parts[2:])))
    hint = hint_about(opened.song, Subject("chord", 2, 0))
    assert "Suggested: of the melody C♯ and A belong to it, B does not" in hint
    assert "press Enter to confirm it" in hint
    hands = SheetHands(opened)
    hands.double_click("chord", 2, 0)
    field = opened.window.page.desk.chord_field.field
    assert field is not None
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert [chord.given for chord in opened.song.parts[1].chords] == [True, False]
    assert "Suggested" not in hint_about(opened.song, Subject("chord", 2, 0))

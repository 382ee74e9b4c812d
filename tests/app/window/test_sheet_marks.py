"""On the sheet: how each note was played, which one is wanted, whose hand is doubtful; on the keyboard what is down."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, QRect
from PySide6.QtGui import QHelpEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QToolTip
from pytestqt.qtbot import QtBot

from app.engine.protocol import KeyJudged
from app.listen.piece import Piece
from app.widgets.selection import Kind, Place
from app.window.header import Workspace
from core.drawing.keyboard import LitKey
from core.drawing.row_marks import Mark
from core.drawing.shapes import Subject
from core.performance.following import Verdict
from core.song.note import Hand
from core.song.song import Song
from tests.app.draft.test_doubtful_hands import crowded
from tests.helpers.open_window import OpenWindow
from tests.helpers.sheet_hands import LEFT, SheetHands


def marks_of(opened: OpenWindow, part: int) -> dict[tuple[str, int], tuple[Mark, ...]]:
    opened.window.page.marks.show_now()
    marked = opened.window.page.sheet.rows[part - 1].marked
    return {(subject.kind, subject.index): one.marks for subject, one in marked.items()}


def play_along(opened: OpenWindow, hands: str = "right", *, wait: bool = False) -> None:
    opened.settings.change(own_hands=hands, wait=wait, count_in=False, again=False)
    opened.window.show_workspace(Workspace.LISTEN)
    opened.window.player.play(Piece("part", 1))


def judge(opened: OpenWindow, verdict: Verdict, number: int, late: float = 0.0) -> None:
    note = opened.engine.meant[number]
    opened.engine.judged.emit(KeyJudged(verdict, note.midi, note.seconds, late))


def hint_at(opened: OpenWindow, part: int, point: QPoint) -> str:
    row = opened.window.page.sheet.rows[part - 1]
    QToolTip.hideText()
    QApplication.sendEvent(row, QHelpEvent(QEvent.Type.ToolTip, point, row.mapToGlobal(point)))
    return QToolTip.text()


def test_verdicts_are_marked_on_the_beads_as_they_come_and_stay_until_the_next_round(opened: OpenWindow) -> None:
    play_along(opened)
    judge(opened, "right", 0)
    judge(opened, "late", 1, 0.21)
    judge(opened, "missed", 2)
    expected = {
        ("note", 0): (Mark("right"),),
        ("note", 1): (Mark("late"),),
        ("note", 2): (Mark("missed"),),
    }
    assert marks_of(opened, 1) == expected
    opened.engine.end()
    assert marks_of(opened, 1) == expected
    opened.window.player.play(Piece("part", 1))
    assert marks_of(opened, 1) == {}


def test_the_gravest_of_several_verdicts_is_marked_and_all_are_told(opened: OpenWindow) -> None:
    play_along(opened)
    opened.engine.move_to(opened.engine.meant[1].seconds)
    opened.engine.judged.emit(KeyJudged("wrong", 61, None, 0.0))
    judge(opened, "late", 1, 0.21)
    assert marks_of(opened, 1) == {("note", 1): (Mark("wrong", "C♯"),)}
    hint = hint_at(opened, 1, SheetHands(opened).point("note", 1, 1))
    assert hint.startswith("C♯ was played here and is not meant.\nG came late, by 0.21 s.\n")
    assert "Finger" in hint


def test_marks_follow_the_naming(opened: OpenWindow) -> None:
    play_along(opened)
    opened.engine.move_to(opened.engine.meant[1].seconds)
    opened.engine.judged.emit(KeyJudged("wrong", 66, None, 0.0))
    assert marks_of(opened, 1) == {("note", 1): (Mark("wrong", "F♯"),)}
    opened.settings.change(naming="german")
    assert marks_of(opened, 1) == {("note", 1): (Mark("wrong", "Fis"),)}


def test_a_mark_repaints_its_own_place_and_no_more(opened: OpenWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    play_along(opened)
    opened.window.page.marks.show_now()
    row = opened.window.page.sheet.rows[0]
    before = row.picture
    anew: list[QRect] = []
    monkeypatch.setattr(row, "update", anew.append)
    judge(opened, "late", 1)
    opened.window.page.marks.show_now()
    assert len(anew) == 1
    assert anew[0].width() < row.width() / 4
    assert row.picture is before


def test_the_note_the_music_waits_for_is_marked_on_its_bead_and_on_the_keyboard(opened: OpenWindow) -> None:
    play_along(opened, wait=True)
    midi = opened.engine.meant[0].midi
    assert marks_of(opened, 1) == {("note", 0): (Mark("wanted", "play"),)}
    assert opened.window.page.keyboard.lit[midi].wanted
    judge(opened, "right", 0)
    assert marks_of(opened, 1) == {("note", 0): (Mark("right"),), ("note", 1): (Mark("wanted", "play"),)}
    assert midi not in {key for key, lit in opened.window.page.keyboard.lit.items() if lit.wanted}
    opened.engine.judged.emit(KeyJudged("wrong", 61, None, 0.0))
    assert marks_of(opened, 1)["note", 1] == (Mark("wanted", "play"), Mark("wrong", "C♯"))
    opened.window.player.stop()
    assert marks_of(opened, 1) == {("note", 0): (Mark("right"),), ("note", 1): (Mark("wrong", "C♯"),)}
    assert not any(lit.wanted for lit in opened.window.page.keyboard.lit.values())


def test_keys_that_are_played_light_the_keyboard_also_when_nothing_plays(opened: OpenWindow) -> None:
    keyboard = opened.window.page.keyboard
    before = dict(keyboard.lit)
    opened.engine.key.emit(61, 80, True, 0.0)
    assert keyboard.lit[61] == LitKey(None, letter="C♯")
    opened.engine.key.emit(61, 0, False, 0.0)
    assert dict(keyboard.lit) == before


def test_a_key_that_is_matched_is_lit_in_its_hands_colour_while_it_plays(opened: OpenWindow) -> None:
    play_along(opened, hands="left")
    midi = opened.engine.meant[0].midi
    opened.engine.move_to(0.0)
    opened.engine.key.emit(midi, 80, True, 0.0)
    judge(opened, "right", 0)
    assert opened.window.page.keyboard.lit[midi].hand is Hand.LEFT


def test_the_keyboard_is_played_with_the_mouse_as_before(opened: OpenWindow) -> None:
    opened.window.page.keyboard.key_pressed.emit(60)
    assert opened.engine.down == {60}
    opened.window.page.keyboard.key_released.emit(60)
    assert opened.engine.down == set()


def told_doubts(opened: OpenWindow, song: Song, qtbot: QtBot) -> None:
    opened.document.take(song)
    qtbot.waitUntil(lambda: bool(opened.window.page.doubtful.hands), timeout=30_000)


def test_doubtful_hands_are_marked_say_why_and_can_be_changed_there(opened: OpenWindow, qtbot: QtBot) -> None:
    told_doubts(opened, crowded(), qtbot)
    doubtful = {("note", index) for index, hand in enumerate(opened.window.page.doubtful.hands[0]) if hand.is_doubtful}
    assert doubtful
    marked = marks_of(opened, 1)
    assert set(marked) == doubtful
    assert set(marked.values()) == {(Mark("doubtful"),)}
    index = min(index for _, index in doubtful)
    assert opened.song.part(1).notes[index].hand is Hand.LEFT
    box = opened.window.page.sheet.rows[0].box_of(Subject("note", 1, index))
    assert box is not None
    hint = hint_at(opened, 1, box.center())
    assert hint.startswith(f"The hand is doubtful: {opened.window.page.doubtful.hands[0][index].reason}")
    QTest.mouseClick(opened.window.page.sheet.rows[0], LEFT, pos=box.center())
    assert opened.window.selection.place == Place(1, Kind.NOTE, index)
    SheetHands(opened).type("r")
    assert opened.song.part(1).notes[index].hand is Hand.RIGHT
    qtbot.waitUntil(lambda: bool(opened.window.page.doubtful.hands), timeout=30_000)
    assert ("note", index) not in marks_of(opened, 1)


def test_a_press_on_a_mark_selects_its_note(opened: OpenWindow) -> None:
    play_along(opened)
    judge(opened, "missed", 1)
    opened.window.page.marks.show_now()
    row = opened.window.page.sheet.rows[0]
    zoom = row.height() / row.picture.height
    places = (QPointF(x, y) for y in range(0, row.height(), 3) for x in range(0, row.width(), 3))
    layout = row.layout_of_row
    bead = next(bead for bead in layout.beads if bead.index == 1)
    on_mark = next(
        point
        for point in places
        if row.subject_at(point) == Subject("note", 1, 1) and abs(point.y() / zoom - bead.y) > bead.half_height + 8
    )
    QApplication.processEvents()
    QTest.mouseClick(row, LEFT, pos=on_mark.toPoint())
    assert opened.window.selection.place == Place(1, Kind.NOTE, 1)


def test_how_it_went_is_said_among_the_choices_of_practising(opened: OpenWindow, qtbot: QtBot) -> None:
    play_along(opened)
    practice = opened.window.page.listen_panel.practice
    assert "Choose your MIDI keyboard" in practice.told.text()
    opened.settings.change(keyboard="Keys")
    assert not practice.told.isVisibleTo(practice)
    with qtbot.waitSignal(opened.window.player.along.told_changed):
        judge(opened, "late", 6)
    assert practice.told.text() == "You played 1 of 1 note. Bar 2: the F sharp came late."


def test_a_screen_reader_is_told_what_is_marked_on_the_selected_note(opened: OpenWindow) -> None:
    play_along(opened)
    judge(opened, "late", 1, 0.21)
    opened.window.player.stop()
    opened.window.page.marks.show_now()
    opened.window.selection.select(Place(1, Kind.NOTE, 1))
    assert opened.window.page.sheet.accessibleName().endswith("G came late, by 0.21 s.")
    opened.window.selection.select(Place(1, Kind.NOTE, 2))
    assert "late" not in opened.window.page.sheet.accessibleName()


def test_how_it_went_is_noted_at_the_end_and_needs_no_attention(opened: OpenWindow) -> None:
    play_along(opened)
    judge(opened, "right", 0)
    opened.engine.end()
    assert opened.window.bar.text == "You played 1 of 1 note, all in time."
    assert not opened.window.bar._mark.isVisible()

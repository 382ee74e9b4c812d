"""Several notes selected together, with the mouse and by keys, and what can be done with them."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from app.widgets.selection import Kind, Place
from core.drawing.shapes import Circle, Rectangle, Role, Subject
from core.song.note import Hand, Note
from core.song.part import in_order
from core.song.pitch import Pitch
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.open_window import OpenWindow
from tests.helpers.sheet_hands import LEFT, SheetHands

ALT, CTRL, SHIFT = (
    Qt.KeyboardModifier.AltModifier,
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.ShiftModifier,
)
QUARTER = TICKS_PER_QUARTER


@pytest.fixture
def hands(opened: OpenWindow) -> SheetHands:
    return SheetHands(opened)


def selected(hands: SheetHands) -> tuple[tuple[int, int], ...]:
    """Part and index of every selected note."""
    return hands.opened.window.selection.notes


def ringed(hands: SheetHands, part: int) -> int:
    """How many beads of a row wear a ring."""
    shapes = hands.row(part).picture.shapes
    return sum(
        1
        for shape in shapes
        if isinstance(shape, Circle | Rectangle)
        and shape.edge is Role.SELECTED
        and shape.subject is not None
        and shape.subject.kind == "note"
    )


def shift_click(hands: SheetHands, part: int, index: int) -> None:
    QTest.mouseClick(hands.row(part), LEFT, SHIFT, hands.point("note", part, index))


def test_shift_with_the_arrows_selects_note_after_note_and_back(hands: SheetHands) -> None:
    hands.click("note", 1, 1)
    hands.press(Qt.Key.Key_Right, SHIFT)
    hands.press(Qt.Key.Key_Right, SHIFT)
    assert selected(hands) == ((1, 1), (1, 2), (1, 3))
    assert ringed(hands, 1) == 3
    hands.press(Qt.Key.Key_Left, SHIFT)
    assert selected(hands) == ((1, 1), (1, 2))
    hands.press(Qt.Key.Key_Left)
    assert selected(hands) == ((1, 1),)
    assert ringed(hands, 1) == 1


def test_shift_click_selects_up_to_a_note_of_the_next_part(hands: SheetHands) -> None:
    hands.click("note", 1, 5)
    shift_click(hands, 2, 1)
    assert selected(hands) == ((1, 5), (1, 6), (2, 0), (2, 1))
    assert (ringed(hands, 1), ringed(hands, 2)) == (2, 2)
    shift_click(hands, 1, 4)
    assert selected(hands) == ((1, 4), (1, 5))


def test_shift_with_home_and_end_reaches_the_ends_of_the_part(hands: SheetHands) -> None:
    hands.click("note", 1, 3)
    hands.press(Qt.Key.Key_End, SHIFT)
    assert selected(hands) == ((1, 3), (1, 4), (1, 5), (1, 6))
    hands.press(Qt.Key.Key_Home, SHIFT)
    assert selected(hands) == ((1, 0), (1, 1), (1, 2), (1, 3))


def test_a_rectangle_drawn_with_the_mouse_selects_the_beads_in_it(hands: SheetHands) -> None:
    first, last = hands.point("note", 1, 1), hands.point("note", 1, 3)
    start = QPoint(first.x() - 18, min(first.y(), last.y()) - 22)
    hands.drag(hands.row(1), start, last.x() + 18 - start.x(), max(first.y(), last.y()) + 22 - start.y())
    assert selected(hands) == ((1, 1), (1, 2), (1, 3))


def test_control_a_selects_the_part_and_then_the_song(hands: SheetHands) -> None:
    hands.click("note", 2, 1)
    hands.press(Qt.Key.Key_A, CTRL)
    assert {part for part, _ in selected(hands)} == {2}
    hands.press(Qt.Key.Key_A, CTRL)
    assert {part for part, _ in selected(hands)} == {1, 2, 3}


def test_selected_notes_move_up_in_the_key_and_are_undone_as_one(hands: SheetHands) -> None:
    before = hands.opened.song
    hands.click("note", 1, 0)
    hands.press(Qt.Key.Key_Right, SHIFT)
    hands.press(Qt.Key.Key_Up, ALT)
    assert hands.names(1)[:3] == ["F#4", "A4", "A4"]
    assert selected(hands) == ((1, 0), (1, 1))
    assert hands.opened.document.undo_stack.count() == 1
    hands.opened.document.undo_stack.undo()
    assert hands.opened.song is before


def test_the_selected_part_moves_up_an_octave(hands: SheetHands) -> None:
    hands.opened.window.selection.select(Place(1))
    hands.press(Qt.Key.Key_Up, CTRL)
    assert hands.names(1) == ["E5", "G5", "A5", "B5", "A5", "G5", "F#5"]
    assert hands.opened.window.selection.place == Place(1)
    hands.press(Qt.Key.Key_Down, CTRL)
    assert hands.names(1)[0] == "E4"


def test_one_of_several_selected_notes_takes_the_others_along_when_dragged(hands: SheetHands) -> None:
    hands.click("note", 1, 0)
    shift_click(hands, 1, 2)
    step = hands.row(1).layout_of_row.style.step_height * hands.row(1).height() / hands.row(1).picture.height
    hands.drag_subject("note", 1, 1, 0, -round(2 * step))
    assert hands.names(1)[:4] == ["G4", "B4", "C#5", "B4"]
    assert selected(hands) == ((1, 0), (1, 1), (1, 2))


def test_a_click_on_one_of_several_selected_notes_selects_it_alone(hands: SheetHands) -> None:
    hands.click("note", 1, 0)
    shift_click(hands, 1, 2)
    hands.click("note", 1, 1)
    assert selected(hands) == ((1, 1),)


def test_notes_are_copied_and_put_in_at_another_note(hands: SheetHands) -> None:
    hands.click("note", 1, 0)
    hands.press(Qt.Key.Key_Right, SHIFT)
    hands.press(Qt.Key.Key_C, CTRL)
    hands.click("note", 2, 0)
    hands.press(Qt.Key.Key_V, CTRL)
    assert hands.names(2)[:3] == ["E4", "G4", "A4"]
    assert selected(hands) == ((2, 0), (2, 1))


def test_notes_are_cut_and_put_in_again(hands: SheetHands) -> None:
    before = hands.names(1)
    hands.click("note", 1, 0)
    hands.press(Qt.Key.Key_Right, SHIFT)
    hands.press(Qt.Key.Key_X, CTRL)
    assert hands.names(1) == before[2:]
    hands.opened.window.selection.select(Place(1))
    hands.press(Qt.Key.Key_V, CTRL)
    assert hands.names(1) == before


def test_without_anything_copied_it_is_said_how_to_copy(hands: SheetHands) -> None:
    hands.click("note", 1, 0)
    hands.press(Qt.Key.Key_V, CTRL)
    assert "Ctrl+C" in hands.opened.window.bar.text


def test_notes_are_repeated_behind_themselves(hands: SheetHands) -> None:
    hands.click("note", 1, 0)
    hands.press(Qt.Key.Key_Right, SHIFT)
    hands.press(Qt.Key.Key_R, CTRL, SHIFT)
    assert hands.names(1)[:4] == ["E4", "G4", "E4", "G4"]
    assert selected(hands) == ((1, 2), (1, 3))


def test_notes_are_pushed_in_before_others_by_keys_and_taken_back(hands: SheetHands) -> None:
    before = hands.names(1)
    hands.click("note", 1, 0)
    hands.press(Qt.Key.Key_C, CTRL)
    hands.press(Qt.Key.Key_V, CTRL, SHIFT)
    assert hands.names(1) == before
    assert "ends too soon" in hands.opened.window.bar.text
    hands.press(Qt.Key.Key_B, CTRL)
    hands.click("note", 1, 0)
    hands.press(Qt.Key.Key_V, CTRL, SHIFT)
    assert hands.names(1) == [before[0], *before]
    hands.press(Qt.Key.Key_R, CTRL, ALT)
    assert hands.names(1) == [before[0], before[0], *before]
    hands.opened.document.undo_stack.undo()
    hands.opened.document.undo_stack.undo()
    assert hands.names(1) == before
    hands.opened.document.undo_stack.redo()
    assert hands.names(1) == [before[0], *before]


def test_selected_notes_are_removed_lengthened_and_fingered_together(hands: SheetHands) -> None:
    hands.click("note", 1, 0)
    hands.press(Qt.Key.Key_Right, SHIFT)
    hands.press(Qt.Key.Key_Left, ALT, SHIFT)
    assert [note.duration for note in hands.opened.song.parts[0].notes[:2]] == [QUARTER // 2] * 2
    hands.type("3")
    assert [note.finger for note in hands.opened.song.parts[0].notes[:3]] == [3, 3, None]
    hands.press(Qt.Key.Key_Delete)
    assert len(hands.names(1)) == 5


def test_a_note_is_given_to_the_left_hand_and_back_where_no_chords_are_played(hands: SheetHands) -> None:
    song = hands.opened.song
    without_chords = replace(song, parts=(replace(song.parts[0], chords=()), *song.parts[1:]))
    hands.opened.document.take(without_chords)
    hands.click("note", 1, 2)
    hands.type("l")
    note = hands.opened.song.parts[0].notes[2]
    assert (note.hand, note.melody) == (Hand.LEFT, False)
    assert hands.opened.window.selection.place == Place(1, Kind.NOTE, 2)
    box = hands.row(1).box_of(Subject("note", 1, 2))
    assert box is not None
    hands.opened.window.selection.select(Place(1))
    QTest.mouseClick(hands.row(1), LEFT, pos=box.center())
    assert hands.opened.window.selection.place == Place(1, Kind.NOTE, 2)
    hands.type("r")
    note = hands.opened.song.parts[0].notes[2]
    assert (note.hand, note.melody) == (Hand.RIGHT, True)


def test_where_the_left_hand_plays_chords_it_is_said_why_it_takes_no_note(hands: SheetHands) -> None:
    before = hands.opened.song
    hands.click("note", 1, 2)
    hands.type("l")
    assert hands.opened.song is before
    assert "plays its chords" in hands.opened.window.bar.text


def test_how_many_notes_are_selected_is_said_in_the_bar_and_to_screen_readers(hands: SheetHands) -> None:
    hands.click("note", 1, 0)
    hands.press(Qt.Key.Key_Right, SHIFT)
    assert hands.opened.window.bar.text.startswith("2 notes selected; Part 1, note 2 of 7")
    assert "2 notes selected" in hands.sheet.accessibleName()
    hands.press(Qt.Key.Key_Left)
    assert "selected" not in hands.opened.window.bar.text


def test_a_note_of_the_left_hand_lights_its_key_as_the_left_hands(hands: SheetHands) -> None:
    song = hands.opened.song
    note = Note(0, QUARTER, Pitch.parse("C3"), Hand.LEFT, hand_given=True, melody=False)
    first = song.parts[0]
    written = replace(first, notes=in_order([note, *first.notes]), chords=())
    hands.opened.document.take(replace(song, parts=(written, *song.parts[1:])))
    index = written.notes.index(note)
    hands.opened.window.selection.select(Place(1, Kind.NOTE, index))
    lit = hands.opened.window.page.keyboard.lit
    assert lit[48].hand is Hand.LEFT
    assert lit[64].hand is Hand.RIGHT
    assert "left hand: C" in hands.opened.window.bar.text

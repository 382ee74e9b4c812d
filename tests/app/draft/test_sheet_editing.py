"""Every change that can be made on the sheet, with the mouse and by keys, undone and done again."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.widgets.selection import Kind, Place
from core.song.note import Hand, Note
from core.song.part import in_order
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from core.theory.chord_symbols import write_chord
from tests.helpers.open_window import OpenWindow
from tests.helpers.sheet_hands import SheetHands

ALT, CTRL, SHIFT = (
    Qt.KeyboardModifier.AltModifier,
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.ShiftModifier,
)
QUARTER = TICKS_PER_QUARTER


@pytest.fixture
def hands(opened: OpenWindow) -> SheetHands:
    return SheetHands(opened)


def undone_and_done_again(hands: SheetHands, before: Song) -> None:
    """Undo gives the very song of before, redo the very song of after; rows show what the song has."""
    stack, after = hands.opened.document.undo_stack, hands.opened.song
    assert after is not before
    stack.undo()
    assert hands.opened.song is before
    assert hands.sheet.shown_song is before
    stack.redo()
    assert hands.opened.song is after
    assert hands.sheet.shown_song is after
    assert len(hands.sheet.rows) == len(after.parts)


def test_a_name_that_was_undone_is_no_longer_being_typed(hands: SheetHands) -> None:
    hands.click("note", 2, 0)
    hands.type("e")
    hands.opened.document.undo_stack.undo()
    hands.type("b")
    assert hands.names(2)[0] == "B4", "not E flat: the E was taken back"
    hands.opened.document.undo_stack.undo()
    hands.press(Qt.Key.Key_Backspace)
    assert hands.names(2)[0] == "B4", "the note is removed, since no letter is left to take back"
    assert len(hands.names(2)) == 7


def test_a_click_selects_a_note_and_the_keyboard_shows_its_key(hands: SheetHands) -> None:
    hands.click("note", 2, 0)
    assert hands.opened.window.selection.place == Place(2, Kind.NOTE, 0)
    lit = hands.opened.window.page.keyboard.lit
    assert 73 in lit
    assert lit[73].finger is not None


def test_a_note_is_renamed_by_typing_its_name(hands: SheetHands) -> None:
    before = hands.opened.song
    hands.click("note", 1, 1)
    hands.type("f")
    assert hands.names(1)[1] == "F4"
    hands.type("#")
    assert hands.names(1)[1] == "F#4"
    assert hands.opened.document.undo_stack.count() == 1
    undone_and_done_again(hands, before)


def test_a_small_b_behind_a_letter_is_a_flat_and_a_large_one_the_note(hands: SheetHands) -> None:
    hands.click("note", 1, 1)
    hands.type("ab")
    assert hands.names(1)[1] == "Ab4"
    hands.press(Qt.Key.Key_Return)
    hands.type("b")
    assert hands.names(1)[1] == "B4"


def test_backspace_takes_typed_letters_back_and_escape_all_of_them(hands: SheetHands) -> None:
    before = hands.opened.song
    hands.click("note", 1, 1)
    hands.type("a#")
    hands.press(Qt.Key.Key_Backspace)
    assert hands.names(1)[1] == "A4"
    hands.press(Qt.Key.Key_Escape)
    assert hands.opened.song is before
    assert hands.opened.window.selection.place == Place(1, Kind.NOTE, 1)


def test_a_note_dragged_up_moves_in_the_key(hands: SheetHands) -> None:
    before = hands.opened.song
    step = hands.row(1).layout_of_row.style.step_height
    hands.drag_subject("note", 1, 0, 0, -round(step))
    assert hands.names(1)[0] == "F#4"
    undone_and_done_again(hands, before)


def test_a_note_dragged_up_with_control_moves_by_semitones(hands: SheetHands) -> None:
    before = hands.opened.song
    step = hands.row(1).layout_of_row.style.step_height
    hands.drag_subject("note", 1, 0, 0, -round(step * 7 / 12 + 0.4) - 1, ctrl=True)
    assert hands.names(1)[0] == "F4"
    undone_and_done_again(hands, before)


def test_a_note_dragged_sideways_moves_in_time_by_half_beats(hands: SheetHands) -> None:
    before = hands.opened.song
    half_beat = round(hands.row(1).layout_of_row.pixels_per_tick * QUARTER / 2)
    hands.drag_subject("note", 1, 0, half_beat, 0)
    assert hands.opened.song.parts[0].notes[0].onset == QUARTER // 2
    undone_and_done_again(hands, before)


def test_a_drag_is_seen_before_it_is_dropped_and_escape_lets_go(hands: SheetHands) -> None:
    before = hands.opened.song
    step = hands.row(1).layout_of_row.style.step_height
    hands.drag(hands.row(1), hands.point("note", 1, 0), 0, -round(2 * step), drop=False)
    assert hands.sheet.shown_song.parts[0].notes[0].pitch.plain == "G4"
    assert hands.opened.song is before
    hands.press(Qt.Key.Key_Escape)
    assert hands.sheet.shown_song is before
    QTest.mouseRelease(hands.row(1), Qt.MouseButton.LeftButton)
    assert hands.opened.song is before


def test_a_note_dragged_onto_another_is_refused_in_the_message_bar(hands: SheetHands) -> None:
    before = hands.opened.song
    beat = round(hands.row(1).layout_of_row.pixels_per_tick * QUARTER)
    hands.drag_subject("note", 1, 0, beat, 0)
    assert hands.opened.song is before
    assert "already a note at that moment" in hands.opened.window.bar.text


def test_a_note_is_lengthened_by_its_wires_end(hands: SheetHands) -> None:
    before = hands.opened.song
    beat = round(hands.row(2).layout_of_row.pixels_per_tick * QUARTER)
    hands.drag_subject("wire-end", 2, 4, beat, 0)
    assert hands.opened.song.parts[1].notes[4].duration == 4 * QUARTER
    undone_and_done_again(hands, before)


def test_a_double_click_on_an_empty_place_adds_a_note_in_the_key(hands: SheetHands) -> None:
    before = hands.opened.song
    layout = hands.row(2).layout_of_row
    point = QPoint(round(layout.x_of(7 * QUARTER) + layout.lead), round(layout.y_of_step(hands_step("F", 4))))
    hands.double_click_at(2, point)
    added = [note for note in hands.opened.song.parts[1].notes if note.onset == 7 * QUARTER]
    assert [note.pitch.plain for note in added] == ["F#4"]
    undone_and_done_again(hands, before)


def hands_step(letter: str, octave: int) -> int:
    return 7 * octave + "CDEFGAB".index(letter)


@pytest.mark.parametrize(
    ("keys", "names"),
    [
        ((Qt.Key.Key_Up, ALT), ["F#4"]),
        ((Qt.Key.Key_Down, ALT), ["D4"]),
        ((Qt.Key.Key_Up, ALT, SHIFT), ["F4"]),
        ((Qt.Key.Key_Down, ALT, SHIFT), ["D#4", "Eb4"]),
    ],
)
def test_keys_move_the_selected_note_up_and_down(
    hands: SheetHands, keys: tuple[Qt.Key, *tuple[Qt.KeyboardModifier, ...]], names: list[str]
) -> None:
    before = hands.opened.song
    hands.click("note", 1, 0)
    hands.press(*keys)
    assert hands.names(1)[0] in names
    undone_and_done_again(hands, before)


def test_keys_make_the_selected_note_longer_shorter_later_and_earlier(hands: SheetHands) -> None:
    hands.click("note", 2, 4)
    hands.press(Qt.Key.Key_Right, ALT, SHIFT)
    assert hands.opened.song.parts[1].notes[4].duration == 7 * QUARTER // 2
    hands.press(Qt.Key.Key_Left, ALT, SHIFT)
    hands.press(Qt.Key.Key_Left, ALT, SHIFT)
    assert hands.opened.song.parts[1].notes[4].duration == 5 * QUARTER // 2
    hands.press(Qt.Key.Key_Right, ALT)
    assert hands.opened.song.parts[1].notes[4].onset == 9 * QUARTER // 2
    hands.press(Qt.Key.Key_Left, ALT)
    assert hands.opened.song.parts[1].notes[4].onset == 4 * QUARTER
    for _ in range(5):
        hands.opened.document.undo_stack.undo()
    assert hands.opened.song.parts[1].notes[4].duration == 3 * QUARTER


def test_a_note_is_added_behind_the_selected_one_and_removed(hands: SheetHands) -> None:
    before = hands.opened.song
    hands.click("note", 2, 4)
    hands.press(Qt.Key.Key_I, CTRL)
    assert hands.opened.song.parts[1].notes[5].onset == 7 * QUARTER
    assert hands.opened.window.selection.place == Place(2, Kind.NOTE, 5)
    undone_and_done_again(hands, before)
    hands.press(Qt.Key.Key_Delete)
    assert hands.opened.song.parts[1].notes == before.parts[1].notes


def test_a_note_without_room_behind_it_is_divided(hands: SheetHands) -> None:
    hands.click("note", 1, 0)
    hands.press(Qt.Key.Key_I, CTRL)
    notes = hands.opened.song.parts[0].notes
    assert [(note.onset, note.duration) for note in notes[:2]] == [(0, QUARTER // 2), (QUARTER // 2, QUARTER // 2)]


def test_a_finger_is_given_by_its_number_and_taken_back_with_0(hands: SheetHands) -> None:
    before = hands.opened.song
    hands.click("note", 1, 0)
    hands.type("2")
    assert hands.opened.song.parts[0].notes[0].finger == 2
    hands.type("0")
    assert hands.opened.song.parts[0].notes[0].finger is None
    hands.opened.document.undo_stack.undo()
    undone_and_done_again(hands, before)


def test_a_chord_is_renamed_in_place(hands: SheetHands) -> None:
    before = hands.opened.song
    hands.double_click("chord", 2, 1)
    field = hands.opened.window.page.desk.chord_field.field
    assert field is not None
    assert field.text() == "G"
    QTest.keyClicks(field, "Bm7")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert write_chord(hands.opened.song.parts[1].chords[1].symbol) == "Bm7"
    assert hands.opened.window.page.desk.chord_field.field is None
    undone_and_done_again(hands, before)


def test_a_mistake_in_a_chords_name_is_said_at_once_with_its_place(hands: SheetHands) -> None:
    before = hands.opened.song
    hands.double_click("chord", 2, 1)
    field = hands.opened.window.page.desk.chord_field.field
    assert field is not None
    QTest.keyClicks(field, "Bq")
    assert "character 2" in hands.opened.window.bar.text
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert hands.opened.song is before
    assert hands.opened.window.page.desk.chord_field.field is field
    QTest.keyClick(field, Qt.Key.Key_Backspace)
    assert "character 2" not in hands.opened.window.bar.text
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert hands.opened.window.page.desk.chord_field.field is None
    assert hands.opened.song is before


def test_a_chord_is_named_by_keys_alone(hands: SheetHands) -> None:
    hands.click("note", 2, 0)
    hands.press(Qt.Key.Key_Down)
    assert hands.opened.window.selection.place == Place(2, Kind.CHORD, 0)
    hands.press(Qt.Key.Key_Return)
    field = hands.opened.window.page.desk.chord_field.field
    assert field is not None
    QTest.keyClicks(field, "F#m")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert write_chord(hands.opened.song.parts[1].chords[0].symbol) == "F#m"
    assert hands.sheet.hasFocus()


def test_a_letter_typed_on_a_chord_begins_its_new_name(hands: SheetHands) -> None:
    hands.click("chord", 2, 0)
    hands.type("D")
    field = hands.opened.window.page.desk.chord_field.field
    assert field is not None
    assert field.text() == "D"
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert write_chord(hands.opened.song.parts[1].chords[0].symbol) == "D"


def test_a_chord_is_added_where_a_note_is_selected_and_removed(hands: SheetHands) -> None:
    before = hands.opened.song
    hands.click("note", 1, 4)
    hands.press(Qt.Key.Key_K, CTRL)
    field = hands.opened.window.page.desk.chord_field.field
    assert field is not None
    QTest.keyClicks(field, "Am")
    QTest.keyClick(field, Qt.Key.Key_Return)
    chords = hands.opened.song.parts[0].chords
    assert [(write_chord(chord.symbol), chord.onset) for chord in chords] == [("Em", 0), ("Am", 4 * QUARTER)]
    undone_and_done_again(hands, before)
    hands.opened.window.selection.select(Place(1, Kind.CHORD, 1))
    hands.press(Qt.Key.Key_Delete)
    assert [(write_chord(c.symbol), c.duration) for c in hands.opened.song.parts[0].chords] == [("Em", 8 * QUARTER)]


def test_a_chord_dragged_sideways_begins_earlier(hands: SheetHands) -> None:
    before = hands.opened.song
    beat = round(hands.row(2).layout_of_row.pixels_per_tick * QUARTER)
    hands.drag_subject("chord", 2, 1, -2 * beat, 0)
    assert [chord.onset for chord in hands.opened.song.parts[1].chords] == [0, 6 * QUARTER]
    undone_and_done_again(hands, before)


def test_a_cut_is_dragged_by_its_handle(hands: SheetHands) -> None:
    before = hands.opened.song
    beat = round(hands.row(1).layout_of_row.pixels_per_tick * QUARTER)
    handle = hands.sheet.cuts[0]
    hands.drag(handle, handle.rect().center(), -beat, 0)
    assert [part.duration // QUARTER for part in hands.opened.song.parts] == [7, 13, 12]
    undone_and_done_again(hands, before)


def test_a_cut_is_moved_by_keys_by_beats_and_by_bars(hands: SheetHands) -> None:
    before = hands.opened.song
    hands.click("part", 1)
    hands.press(Qt.Key.Key_Right, CTRL)
    assert [part.duration // QUARTER for part in hands.opened.song.parts] == [9, 11, 12]
    hands.press(Qt.Key.Key_Right, CTRL, SHIFT)
    assert [part.duration // QUARTER for part in hands.opened.song.parts] == [12, 8, 12]
    hands.opened.document.undo_stack.undo()
    undone_and_done_again(hands, before)


def test_a_part_is_split_where_the_selected_note_begins_and_joined_again(hands: SheetHands) -> None:
    before = hands.opened.song
    hands.click("note", 1, 4)
    QTest.mouseClick(hands.opened.window.page.draft_strip.split, Qt.MouseButton.LeftButton)
    assert [part.duration // QUARTER for part in hands.opened.song.parts] == [4, 4, 12, 12]
    assert hands.opened.window.selection.place == Place(2, Kind.NOTE, 0)
    undone_and_done_again(hands, before)
    hands.opened.window.selection.select(Place(1))
    QTest.mouseClick(hands.opened.window.page.draft_strip.join, Qt.MouseButton.LeftButton)
    assert hands.opened.song == before


def test_cuts_are_proposed_again(hands: SheetHands) -> None:
    hands.click("note", 1, 4)
    hands.press(Qt.Key.Key_D, CTRL)
    before = hands.opened.song
    QTest.mouseClick(hands.opened.window.page.draft_strip.propose, Qt.MouseButton.LeftButton)
    assert len(hands.opened.song.parts) != len(before.parts)
    undone_and_done_again(hands, before)


def test_one_part_more_or_fewer_is_proposed_as_far_as_the_song_goes(hands: SheetHands) -> None:
    strip = hands.opened.window.page.draft_strip
    before = hands.opened.song
    strip.more.click()
    assert len(hands.opened.song.parts) == len(before.parts) + 1
    undone_and_done_again(hands, before)
    for count in range(len(before.parts), 0, -1):
        strip.fewer.click()
        assert len(hands.opened.song.parts) == count
    strip.fewer.click()
    assert len(hands.opened.song.parts) == 1
    assert hands.opened.window.bar.text == "The song cannot be cut into fewer parts."


def test_the_arrow_keys_walk_over_notes_chords_and_parts(hands: SheetHands) -> None:
    selection = hands.opened.window.selection
    hands.click("note", 1, 5)
    hands.press(Qt.Key.Key_Right)
    hands.press(Qt.Key.Key_Right)
    assert selection.place == Place(2, Kind.NOTE, 0)
    hands.press(Qt.Key.Key_Down)
    hands.press(Qt.Key.Key_Right)
    assert selection.place == Place(2, Kind.CHORD, 1)
    hands.press(Qt.Key.Key_Down)
    assert selection.place == Place(3, Kind.NOTE, 0)
    hands.press(Qt.Key.Key_Up)
    assert selection.place.kind is Kind.CHORD
    assert selection.place.part == 2


def test_undo_in_another_part_selects_that_part(hands: SheetHands) -> None:
    hands.click("note", 1, 0)
    hands.type("d")
    hands.click("note", 3, 0)
    hands.opened.document.undo_stack.undo()
    assert hands.opened.window.selection.place.part == 1


def test_only_the_row_of_the_changed_part_is_laid_out_anew(hands: SheetHands) -> None:
    QApplication.processEvents()
    hands.click("note", 2, 0)
    others = [hands.row(number).layout_of_row for number in (1, 3)]
    mine = hands.row(2).layout_of_row
    hands.type("d")
    assert [hands.row(number).layout_of_row for number in (1, 3)] == others
    assert all(hands.row(n).layout_of_row is old for n, old in zip((1, 3), others, strict=True))
    assert hands.row(2).layout_of_row is not mine


def test_the_arrow_keys_walk_over_a_left_hand_that_is_written_out_under_chords(hands: SheetHands) -> None:
    left = [
        Note(beat * TICKS_PER_QUARTER, TICKS_PER_QUARTER, Pitch.parse(name), Hand.LEFT, True, melody=False)
        for beat, names in enumerate((("A2",), ("E3", "A3")) * 6)
        for name in names
    ]
    part = hands.opened.song.parts[1]
    written = hands.opened.song.with_part(2, replace(part, notes=in_order([*part.notes, *left])))
    hands.opened.document.take(written)
    selection = hands.opened.window.selection

    def names() -> list[str]:
        return [
            written.parts[number - 1].notes[index].pitch.plain for number, index in hands.opened.window.selection.notes
        ]

    hands.click("chord", 2, 0)
    hands.press(Qt.Key.Key_Down)
    assert names() == ["A2"]
    hands.press(Qt.Key.Key_Right)
    assert names() == ["E3"]
    hands.press(Qt.Key.Key_Left)
    hands.press(Qt.Key.Key_Up)
    assert selection.place == Place(2, Kind.CHORD, 0)
    hands.press(Qt.Key.Key_Down)
    hands.press(Qt.Key.Key_Down)
    assert selection.place.part == 3
    note = next(index for index, note in enumerate(written.parts[1].notes) if note.pitch.plain == "E3")
    hands.click("note", 2, note)
    assert sorted(names()) == ["A3", "E3"], "what is struck together is selected together"
    hands.click("note", 2, note)
    assert names() == ["E3"], "a second click selects the lowest note alone"
    assert "left hand: E" in hands.sheet.accessibleName()

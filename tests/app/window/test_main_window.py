"""The window as a whole: workspaces, keys, themes, and names for everything that can be reached."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAction, QContextMenuEvent, QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QMenu, QWidget
from pytestqt.qtbot import QtBot

from app.listen.piece import Piece
from app.widgets.selection import Kind, Place
from app.window.header import Workspace
from core.drawing.colours import DARK, LIGHT
from core.drawing.shapes import Role
from core.edits.set_facts import set_title
from core.song.note import Hand
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.open_window import OpenWindow
from tests.helpers.sheet_hands import SheetHands

CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier


def test_space_plays_the_selected_part_and_stops_it(opened: OpenWindow) -> None:
    hands = SheetHands(opened)
    hands.click("note", 2, 0)
    hands.press(Qt.Key.Key_Space)
    assert opened.window.player.piece == Piece("part", 2)
    hands.press(Qt.Key.Key_Space)
    assert opened.window.player.piece is None


def test_shift_space_plays_up_to_the_selected_part_and_control_enter_the_song(opened: OpenWindow) -> None:
    hands = SheetHands(opened)
    hands.click("note", 3, 0)
    hands.press(Qt.Key.Key_Space, SHIFT)
    assert opened.window.player.piece == Piece("through", 3)
    hands.press(Qt.Key.Key_Return, CTRL)
    assert opened.window.player.piece == Piece("song")


def test_each_row_plays_its_part_and_the_parts_up_to_it(opened: OpenWindow) -> None:
    row = opened.window.page.sheet.rows[1]
    QTest.mouseClick(row.play_part, Qt.MouseButton.LeftButton)
    assert opened.window.player.piece == Piece("part", 2)
    QTest.mouseClick(row.play_through, Qt.MouseButton.LeftButton)
    assert opened.window.player.piece == Piece("through", 2)
    QTest.mouseClick(row.play_through, Qt.MouseButton.LeftButton)
    assert opened.window.player.piece is None
    assert not opened.window.page.sheet.rows[0].play_through.isVisible()


def test_a_rows_button_that_has_the_focus_is_pressed_with_space(opened: OpenWindow) -> None:
    opened.window.selection.select(Place(2))
    button = opened.window.page.sheet.rows[1].play_through
    button.setFocus(Qt.FocusReason.TabFocusReason)
    QTest.keyClick(button, Qt.Key.Key_Space)
    assert opened.window.player.piece == Piece("through", 2)


def test_the_dotted_line_and_the_keys_follow_what_plays(opened: OpenWindow) -> None:
    page = opened.window.page
    opened.window.player.play(Piece("through", 2))
    opened.engine.move_to(9 * 60 / 84 + 0.01)
    assert page.sheet.rows[0]._position is None
    assert page.sheet.rows[1]._position == pytest.approx(TICKS_PER_QUARTER, abs=200)
    assert 71 in page.keyboard.lit
    assert page.keyboard.lit[71].hand is Hand.RIGHT
    opened.engine.end()
    assert page.sheet.rows[1]._position is None


def test_a_letter_typed_while_nothing_is_selected_changes_nothing(opened: OpenWindow) -> None:
    song = opened.song
    opened.window.selection.select(Place(1))
    SheetHands(opened).type("d")
    assert opened.song is song


def test_the_four_workspaces_are_reached_by_keys_and_by_pressing(opened: OpenWindow) -> None:
    for key, workspace in (
        (Qt.Key.Key_F2, Workspace.SONGS),
        (Qt.Key.Key_F4, Workspace.LISTEN),
        (Qt.Key.Key_F5, Workspace.CAMERA),
        (Qt.Key.Key_F3, Workspace.DRAFT),
    ):
        QTest.keyClick(opened.window, key)
        assert opened.window.workspace is workspace
        assert opened.window.header.buttons[workspace].isChecked()
    QTest.mouseClick(opened.window.header.buttons[Workspace.LISTEN], Qt.MouseButton.LeftButton)
    assert opened.window.workspace is Workspace.LISTEN


def test_keys_of_the_sheet_do_nothing_where_the_sheet_is_not_seen(opened: OpenWindow) -> None:
    song = opened.song
    opened.window.selection.select(Place(1, Kind.NOTE, 4))
    opened.window.show_workspace(Workspace.SONGS)
    opened.slow_work.close()
    QTest.keyClick(opened.window.songs.list, Qt.Key.Key_D, CTRL)
    QTest.keyClick(opened.window.songs.list, Qt.Key.Key_Space)
    assert opened.song is song
    assert opened.window.player.piece is None


def test_the_menu_of_what_is_under_the_pointer_opens_with_the_right_button(opened: OpenWindow) -> None:
    hands, menus = SheetHands(opened), opened.window.menus
    for kind, menu in (("note", menus.note_menu), ("chord", menus.chord_menu), ("part", menus.part_menu)):
        point = QPoint(6, 6) if kind == "part" else hands.point(kind, 2)
        row = hands.row(2)
        event = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, point, row.mapToGlobal(point))
        QApplication.sendEvent(row, event)
        assert menu.isVisible()
        menu.close()
    assert opened.window.selection.place == Place(2)


def test_going_to_the_camera_stops_what_plays(opened: OpenWindow) -> None:
    opened.window.player.play(Piece("song"))
    opened.window.show_workspace(Workspace.CAMERA)
    assert not opened.engine.playing


def test_listening_choices_are_made_with_buttons_and_kept(opened: OpenWindow) -> None:
    opened.window.show_workspace(Workspace.LISTEN)
    strip = opened.window.page.listen_strip
    strip.hands["left"].click()
    strip.again.click()
    strip.metronome.click()
    strip.speed.setValue(72)
    settings = opened.settings.settings
    assert (settings.hands, settings.again, settings.metronome, settings.speed) == ("left", True, True, 70)
    assert strip.percent.text() == "70 %"
    opened.settings.change(hands="both", speed=100)
    assert strip.hands["both"].isChecked()
    assert strip.speed.value() == 100


def test_a_left_hand_pattern_is_chosen_for_a_part_and_for_all(opened: OpenWindow) -> None:
    opened.window.show_workspace(Workspace.LISTEN)
    panel = opened.window.page.listen_panel.embellish
    panel.left.choose("broken")
    panel.keep.click()
    assert [part.teaching.pattern for part in opened.song.parts] == ["broken", "block", "block"]
    panel.everywhere.click()
    assert [part.teaching.pattern for part in opened.song.parts] == ["broken"] * 3
    opened.document.undo_stack.undo()
    opened.document.undo_stack.undo()
    assert panel.left.chosen == "block"


def test_tempos_are_set_for_the_song_and_for_teaching_a_part(opened: OpenWindow) -> None:
    opened.window.show_workspace(Workspace.LISTEN)
    tempo = opened.window.page.listen_panel.tempo
    computed = tempo.part.value()
    assert tempo.song.value() == 84
    tempo.song.setValue(100)
    assert opened.song.tempo == 100
    tempo.part.setValue(48)
    assert opened.song.parts[0].teaching.tempo == 48
    tempo.back.click()
    assert opened.song.parts[0].teaching.tempo is None
    while opened.document.undo_stack.canUndo():
        opened.document.undo_stack.undo()
    assert (tempo.song.value(), tempo.part.value()) == (84, computed)


def test_the_keyboard_sounds_under_the_mouse_and_falls_silent(opened: OpenWindow) -> None:
    keyboard = opened.window.page.keyboard
    point = keyboard.point_on(60).toPoint()
    QTest.mousePress(keyboard, Qt.MouseButton.LeftButton, pos=point)
    assert opened.engine.down == {60}
    QTest.mouseRelease(keyboard, Qt.MouseButton.LeftButton, pos=point)
    assert opened.engine.down == set()
    QTest.mousePress(keyboard, Qt.MouseButton.LeftButton, pos=point)
    opened.window.show_workspace(Workspace.CAMERA)
    assert opened.engine.down == set()


def test_the_keyboard_is_played_with_keys_too(opened: OpenWindow) -> None:
    keyboard = opened.window.page.keyboard
    keyboard.setFocus()
    QTest.keyClick(keyboard, Qt.Key.Key_Right)
    QTest.keyPress(keyboard, Qt.Key.Key_Return)
    assert opened.engine.down == {61}
    QTest.keyRelease(keyboard, Qt.Key.Key_Return)
    assert opened.engine.down == set()


def test_the_title_is_changed_in_place(opened: OpenWindow) -> None:
    name = opened.window.header.name
    name.button.click()
    name.field.setText("Night Ferry, slowly")
    QTest.keyClick(name.field, Qt.Key.Key_Return)
    assert opened.song.title == "Night Ferry, slowly"
    assert name.button.text() == "Night Ferry, slowly"
    assert opened.window.windowTitle().startswith("Night Ferry, slowly")


def test_the_facts_say_key_metre_tempo_extent_and_length(opened: OpenWindow, qtbot: QtBot) -> None:
    facts = opened.window.header.facts
    qtbot.waitUntil(lambda: facts.whole.startswith("E Dorian · 4/4 · 84 bpm · verse, 8 bars, 3 parts · lesson "))


def test_light_and_dark_are_chosen_and_kept(opened: OpenWindow) -> None:
    opened.settings.change(theme="dark")
    assert opened.window.palette().window().color().name().upper() == DARK[Role.GROUND]
    opened.settings.change(theme="light")
    assert opened.window.palette().window().color().name().upper() == LIGHT[Role.GROUND]


def test_the_sheet_grows_with_the_zoom(opened: OpenWindow) -> None:
    height = opened.window.page.sheet.rows[0].height()
    opened.settings.change(zoom=150)
    assert opened.window.page.sheet.rows[0].height() == pytest.approx(1.5 * height, abs=2)
    point = SheetHands(opened).row(1).box_of
    assert point is not None


def test_a_narrow_window_wraps_long_rows_and_clips_nothing(opened: OpenWindow) -> None:
    opened.window.resize(900, 700)
    QApplication.processEvents()
    sheet = opened.window.page.sheet
    assert max(len(row.layout_of_row.lines) for row in sheet.rows) > 1
    assert max(row.x() + row.width() for row in sheet.rows) <= sheet.viewport().width()


def every_action(menu: QMenu) -> list[QAction]:
    found: list[QAction] = []
    for action in menu.actions():
        inner = action.menu()
        found += every_action(inner) if isinstance(inner, QMenu) else [action]
    return found


def test_no_two_commands_share_a_key(opened: OpenWindow) -> None:
    actions = [
        action
        for entry in opened.window.menuBar().actions()
        for action in every_action(entry.menu())  # type: ignore[arg-type]  # every entry of the menu bar is a menu
    ]
    keys = [key.toString(QKeySequence.SequenceFormat.PortableText) for action in actions for key in action.shortcuts()]
    assert len(keys) > 40
    assert sorted(keys) == sorted(set(keys))


def test_the_page_of_keys_names_every_command_that_has_one(opened: OpenWindow) -> None:
    QTest.keyClick(opened.window, Qt.Key.Key_F1)
    page = opened.window._shortcuts
    assert page is not None
    assert page.isVisible()
    said = {label.text() for label in page.findChildren(QLabel)}
    assert {"Play or stop the part", "Ctrl+E", "Export session plan", "A step up in the key"} <= said
    QTest.keyClick(page, Qt.Key.Key_Escape)
    assert not page.isVisible()


@pytest.mark.parametrize("workspace", list(Workspace))
def test_everything_that_can_have_the_focus_has_a_name(opened: OpenWindow, workspace: Workspace) -> None:
    opened.window.show_workspace(workspace)
    QApplication.processEvents()
    opened.slow_work.close()
    nameless = [
        widget
        for widget in opened.window.findChildren(QWidget)
        if widget.isVisible() and widget.focusPolicy() != Qt.FocusPolicy.NoFocus
        if not widget.accessibleName() and not (isinstance(widget, QAbstractButton) and widget.text())
        if widget.focusProxy() is None and not widget.objectName().startswith("qt_")
    ]
    assert not nameless


def test_the_sheet_says_what_is_selected(opened: OpenWindow) -> None:
    opened.window.selection.select(Place(2, Kind.NOTE, 0))
    said = opened.window.page.sheet.accessibleName()
    assert "Part 2, note 1 of 8: C sharp, bar 3, beat 1, 1 beat, finger" in said
    opened.window.selection.select(Place(2, Kind.CHORD, 1))
    assert "Part 2, chord 2 of 2: G major, bar 5, beat 1" in opened.window.page.sheet.accessibleName()


def test_the_whole_window_is_walked_with_tab(opened: OpenWindow) -> None:
    window = opened.window
    window.activateWindow()
    window.page.sheet.setFocus()
    seen: list[QWidget] = []
    for _ in range(40):
        QTest.keyClick(QApplication.focusWidget() or window, Qt.Key.Key_Tab)
        focused = QApplication.focusWidget()
        assert focused is not None
        if focused in seen:
            break
        seen.append(focused)
    names = {widget.accessibleName() for widget in seen}
    assert {"Play part 1", "Propose cuts for the whole song", "Part 1, right hand", "Keyboard"} <= names
    assert "Right hand: what to say" in names
    assert "Draft" in names, "the workspace that is chosen; the arrow keys go on to the others"


def test_the_message_bar_hints_at_what_can_be_done_with_what_is_selected(opened: OpenWindow) -> None:
    SheetHands(opened).click("note", 1, 0)
    assert "type its name" in opened.window.bar.text
    SheetHands(opened).type("d")
    assert "D," in opened.window.bar.text
    SheetHands(opened).click("chord", 1, 0)
    assert "Enter names it" in opened.window.bar.text


def test_the_window_keeps_its_size(opened: OpenWindow) -> None:
    opened.window.resize(1111, 777)
    opened.window.close()
    settings = opened.settings.settings
    assert (settings.window_width, settings.window_height) == (1111, 777)


def test_there_is_no_undo_where_its_effect_is_not_seen(opened: OpenWindow) -> None:
    window = opened.window
    opened.document.apply(lambda song: set_title(song, "Another"), "title")
    opened.document.apply(lambda song: set_title(song, "A third"), "title")
    window.menus.undo.trigger()
    elsewhere: tuple[Callable[[], None], ...] = (
        lambda: window.show_workspace(Workspace.SONGS),
        window.show_shortcuts,
        window.new_lesson,
    )
    for show in elsewhere:
        show()
        assert not window.menus.undo.isEnabled()
        assert not window.menus.redo.isEnabled()
        window.menus.undo.trigger()
        window.menus.redo.trigger()
        assert opened.song.title == "Another"
        window.show_workspace(Workspace.DRAFT)
        assert window.menus.undo.isEnabled()
        assert window.menus.redo.isEnabled()
    for workspace in (Workspace.LISTEN, Workspace.CAMERA):
        window.show_workspace(workspace)
        assert window.menus.undo.isEnabled()


def test_a_song_grows_and_shrinks_by_bars_from_the_keys(opened: OpenWindow) -> None:
    sheet, length = opened.window.page.sheet, opened.song.length
    opened.window.selection.select(Place(2))
    QTest.keyClick(sheet, Qt.Key.Key_B, Qt.KeyboardModifier.ControlModifier)
    assert opened.song.length == length + opened.song.metre.bar_ticks
    both = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    QTest.keyClick(sheet, Qt.Key.Key_B, both)
    assert opened.song.length == length
    QTest.keyClick(sheet, Qt.Key.Key_B, both)
    assert opened.song.length == length
    assert "not empty" in opened.window.bar.text

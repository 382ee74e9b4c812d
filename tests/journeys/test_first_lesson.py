"""A whole task through the window: a demo lesson made one's own, played, saved, closed and opened again."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.listen.piece import Piece
from app.resources import demo_songs
from app.window.header import Workspace
from core.session.running_order import running_order
from core.song.song import Song
from core.theory.chord_symbols import write_chord
from tests.helpers.open_window import open_window
from tests.helpers.sheet_hands import SheetHands
from tests.helpers.songs import night_ferry

HELPER_MILLISECONDS = 300_000
"""How long a helper process may take to start, to load the readers and to read a song on a machine that is busy."""


def make_it_ones_own(hands: SheetHands) -> None:
    """Rename, lengthen, cut, name a chord, choose words."""
    hands.click("note", 2, 0)
    hands.type("d")
    hands.click("note", 3, 7)
    hands.press(Qt.Key.Key_Left, Qt.KeyboardModifier.ShiftModifier)
    hands.click("note", 2, 4)
    hands.press(Qt.Key.Key_D, Qt.KeyboardModifier.ControlModifier)
    hands.click("chord", 3, 1)
    hands.press(Qt.Key.Key_Return)
    field = hands.opened.window.page.desk.chord_field.field
    assert field is not None
    QTest.keyClicks(field, "Cmaj7")
    QTest.keyClick(field, Qt.Key.Key_Return)
    words = hands.opened.window.page.draft_panel.words.kinds["together"].field
    words.setFocus()
    words.selectAll()
    QTest.keyClicks(words, "Let the left hand wait.")
    hands.sheet.setFocus()


def test_a_demo_lesson_is_made_ones_own_and_kept(qapp: QApplication, tmp_path: Path) -> None:
    assert qapp is not None
    path = tmp_path / "my_ferry.lesson"
    with open_window(night_ferry(), tmp_path) as opened:
        opened.window.files.open(demo_songs()[0])
        make_it_ones_own(SheetHands(opened))
        song = opened.song
        assert len(song.parts) == 4
        assert write_chord(song.parts[2].chords[1].symbol) == "Cmaj7"
        assert any("Let the left hand wait." in " ".join(segment.say) for segment in running_order(song))
        opened.window.page.play_selected()
        assert opened.window.player.piece == Piece("part", 3)
        opened.window.files.save_to(path)
        assert opened.window.close()
    with open_window(night_ferry(), tmp_path) as again:
        again.window.files.open(path)
        assert again.song == song
        assert again.document.path == path


def test_everything_is_undone_to_the_very_beginning(qapp: QApplication, tmp_path: Path) -> None:
    assert qapp is not None
    with open_window(night_ferry(), tmp_path) as opened:
        before = opened.song
        make_it_ones_own(SheetHands(opened))
        after: Song = opened.song
        while opened.document.undo_stack.canUndo():
            opened.document.undo_stack.undo()
        assert opened.song is before
        while opened.document.undo_stack.canRedo():
            opened.document.undo_stack.redo()
        assert opened.song is after


@pytest.mark.parametrize("ending", [".musicxml", ".mid"])
def test_a_song_from_elsewhere_is_planned(qapp: QApplication, tmp_path: Path, qtbot: QtBot, ending: str) -> None:
    assert qapp is not None
    with open_window(night_ferry(), tmp_path) as opened:
        demo = demo_songs()[0].with_suffix(ending)
        opened.window.files.open(demo)
        qtbot.waitUntil(
            lambda: opened.song is not None and "Reading" not in opened.window.bar.text, timeout=HELPER_MILLISECONDS
        )
        assert opened.document.path is None
        opened.window.show_workspace(Workspace.CAMERA)
        assert opened.window.camera.segment is not None
        opened.window.files.export_plan_to(tmp_path / "plan")
        qtbot.waitUntil(lambda: "Written to" in opened.window.bar.text, timeout=HELPER_MILLISECONDS)
        assert (tmp_path / "plan" / "plan.pdf").read_bytes().startswith(b"%PDF")

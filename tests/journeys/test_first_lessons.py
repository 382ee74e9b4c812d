"""Whole tasks through the window: a first lesson from a file, from typing, from a keyboard; then what is done to it.

Each leaves pictures of its moments in the test's temporary folder.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.document.lesson_store import open_lesson
from app.engine.protocol import Ports
from app.listen.piece import Piece
from app.resources import demo_songs
from app.widgets.selection import Kind, Place
from app.window.header import Workspace
from core.handover.registry import EXPORTERS
from tests.helpers.open_window import OpenWindow, open_window
from tests.helpers.sheet_hands import SheetHands
from tests.helpers.songs import night_ferry
from tests.journeys.pictures import picture

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

CTRL = Qt.KeyboardModifier.ControlModifier
HELPER_MILLISECONDS = 300_000
"""How long a helper process may take to start and to read a song, on a machine that is busy with much else."""


def test_a_first_lesson_from_a_musicxml_file(qapp: QApplication, tmp_path: Path, qtbot: QtBot) -> None:
    assert qapp is not None
    with open_window(night_ferry(), tmp_path) as opened:
        with qtbot.waitSignal(opened.window.files.opened, timeout=HELPER_MILLISECONDS):
            opened.window.files.open(demo_songs()[1].with_suffix(".musicxml"))
        assert opened.song.title != night_ferry().title
        assert len(opened.song.parts) > 1
        opened.window.selection.select(Place(1))
        assert opened.window.page.draft_panel.words.kinds["right_hand"].field.toPlainText().startswith("Start on")
        picture(opened.window, tmp_path, "from_musicxml")
        opened.window.files.save_to(tmp_path / "mine.lesson")
        assert open_lesson(tmp_path / "mine.lesson").song == opened.song


def test_a_first_lesson_from_typing(opened: OpenWindow, tmp_path: Path) -> None:
    opened.window.new_lesson()
    page = opened.window._new_lesson
    assert page is not None
    QTest.keyClicks(page.title, "Evening Round")
    QTest.keyClick(page.title, Qt.Key.Key_Return)
    line = opened.window.page.draft_strip.line.field
    line.setFocus()
    line.selectAll()
    QTest.keyClicks(line, "C D E F | G - E -")
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert opened.song.title == "Evening Round"
    assert [note.pitch.plain for note in opened.song.parts[0].melody] == ["C4", "D4", "E4", "F4", "G4", "E4"]
    opened.window.selection.select(Place(1, Kind.NOTE, 0))
    opened.window.page.desk.add_chord()
    field = opened.window.page.desk.chord_field.field
    assert field is not None
    QTest.keyClicks(field, "C")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert len(opened.song.parts[0].chords) == 1
    picture(opened.window, tmp_path, "from_typing")


def test_a_first_lesson_from_a_keyboard(opened: OpenWindow, tmp_path: Path) -> None:
    opened.window.new_lesson()
    page = opened.window._new_lesson
    assert page is not None
    page.begin.click()
    opened.engine.key.emit(60, 70, True, 0.0)
    assert not opened.song.parts[0].notes, "nothing is written before that is wanted"
    opened.window.menus.entry.trigger()
    for midi in (60, 62, 64):
        opened.engine.key.emit(midi, 70, True, 0.0)
        opened.engine.key.emit(midi, 0, False, 0.2)
    opened.window.page.keyboard.key_pressed.emit(66)
    assert [note.pitch.plain for note in opened.song.parts[0].melody] == ["C4", "D4", "E4", "F#4"]
    opened.window.selection.select(Place(1, Kind.NOTE, 0))
    opened.engine.key.emit(65, 70, True, 0.0)
    assert [note.pitch.plain for note in opened.song.parts[0].melody] == ["C4", "F4", "E4", "F#4"]
    opened.document.undo_stack.undo()
    assert [note.pitch.plain for note in opened.song.parts[0].melody] == ["C4", "D4", "E4", "F#4"]
    picture(opened.window, tmp_path, "from_a_keyboard")


def test_a_cut_is_moved_with_the_mouse_and_with_keys(opened: OpenWindow, tmp_path: Path) -> None:
    before = opened.song.parts[0].duration
    opened.window.selection.select(Place(1))
    SheetHands(opened).press(Qt.Key.Key_Right, CTRL)
    assert opened.song.parts[0].duration == before + opened.song.metre_at(0).beat_ticks
    picture(opened.window, tmp_path, "cut_moved")
    opened.document.undo_stack.undo()
    assert opened.song == night_ferry()


def test_the_key_is_changed_and_the_song_embellished(opened: OpenWindow, tmp_path: Path, qtbot: QtBot) -> None:
    opened.window.show_workspace(Workspace.LISTEN)
    panel = opened.window.page.listen_panel
    qtbot.waitUntil(lambda: bool(panel.keys.buttons), timeout=HELPER_MILLISECONDS)
    before = opened.song.key
    name, button = next((name, one) for name, one in panel.keys.buttons.items() if name != before.plain)
    button.click()
    assert opened.song.key.plain == name
    panel.embellish.left.choose("broken")
    panel.embellish.keep.click()
    assert opened.song.parts[opened.window.selection.place.part - 1].teaching.pattern == "broken"
    picture(opened.window, tmp_path, "another_key_embellished")


def test_everything_is_exported(opened: OpenWindow, tmp_path: Path, qtbot: QtBot) -> None:
    opened.window.files.export_plan_to(tmp_path / "plan")
    qtbot.waitUntil(lambda: "Written to" in opened.window.bar.text, timeout=HELPER_MILLISECONDS)
    assert len(list((tmp_path / "plan").iterdir())) >= len(EXPORTERS)
    assert (tmp_path / "plan" / "plan.pdf").read_bytes().startswith(b"%PDF")
    picture(opened.window, tmp_path, "exported")


@pytest.mark.parametrize("name", ["MIDI keyboard", "Stage piano"])
def test_a_device_is_pulled_in_the_middle_of_playing(opened: OpenWindow, tmp_path: Path, name: str) -> None:
    opened.engine.ports.emit(Ports((name,), (name,)))
    opened.settings.change(output=name, keyboard=name)
    opened.window.player.play(Piece("song"))
    opened.engine.move_to(1.0)
    opened.engine.ports.emit(Ports((), ()))
    opened.engine.trouble.emit(f"{name} is gone; nothing is heard until it is back.")
    opened.engine.end()
    assert name in opened.window.bar.text
    assert opened.window.player.piece is None
    assert not opened.engine.down
    picture(opened.window, tmp_path, "device_pulled")
    opened.settings.change(output="piano")
    opened.window.player.play(Piece("part", 1))
    assert opened.window.player.piece == Piece("part", 1)

"""The song in twelve keys: tried in the background, and a press moves the song."""

from __future__ import annotations

from pytestqt.qtbot import QtBot

from app.window.header import Workspace
from core.session.key_choice import twelve_keys
from tests.helpers.open_window import OpenWindow


def test_twelve_keys_are_shown_with_their_effort_and_a_press_moves_the_song(opened: OpenWindow, qtbot: QtBot) -> None:
    opened.window.show_workspace(Workspace.LISTEN)
    panel = opened.window.page.listen_panel.keys
    qtbot.waitUntil(lambda: len(panel.buttons) == 12, timeout=30_000)
    assert [name for name, button in panel.buttons.items() if button.isChecked()] == ["E dorian"]
    assert panel.buttons["D dorian"].toolTip().startswith("D Dorian is easiest")
    assert panel.about.text().startswith("D Dorian is easiest")
    before = opened.song
    panel.buttons["D dorian"].click()
    assert opened.song.key.plain == "D dorian"
    assert [note.pitch.plain for _, note in opened.song.placed_notes()][:2] == ["D4", "F4"]
    opened.document.undo_stack.undo()
    assert opened.song is before
    qtbot.waitUntil(lambda: not opened.slow_work.busy, timeout=30_000)


def test_a_singers_notes_leave_only_keys_that_fit(opened: OpenWindow, qtbot: QtBot) -> None:
    opened.window.show_workspace(Workspace.LISTEN)
    panel = opened.window.page.listen_panel.keys
    panel.lowest.setCurrentIndex(panel.lowest.findData("G4"))
    panel.highest.setCurrentIndex(panel.highest.findData("F5"))
    qtbot.waitUntil(lambda: "fits the voice" in panel.about.text(), timeout=30_000)
    fitting = [choice.key.plain for choice in twelve_keys(opened.song) if choice.lowest and choice.highest]
    assert len(fitting) == 12
    panel.highest.setCurrentIndex(panel.highest.findData("A4"))
    qtbot.waitUntil(lambda: "In no key" in panel.about.text(), timeout=30_000)


def test_keys_are_not_tried_where_nobody_looks(opened: OpenWindow) -> None:
    assert opened.window.workspace is Workspace.DRAFT
    assert not opened.slow_work.busy

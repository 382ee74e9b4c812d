"""The choices for practising, as they are made by hand."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.window.header import Workspace
from tests.helpers.open_window import OpenWindow, open_window
from tests.helpers.songs import night_ferry


@pytest.fixture
def opened(qtbot: QtBot, tmp_path: Path) -> Iterator[OpenWindow]:
    assert qtbot is not None
    with open_window(night_ferry(), tmp_path, (1280, 720)) as found:
        found.window.show_workspace(Workspace.LISTEN)
        yield found


def test_every_choice_is_kept_when_it_is_pressed(opened: OpenWindow) -> None:
    panel = opened.window.page.listen_panel.practice
    for button in (panel.softer["left"], panel.faster[5], panel.clicks[3], panel.own_hands["right"], panel.count_again):
        QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    panel.level.setValue(50)
    chosen = opened.settings.settings
    assert (chosen.softer, chosen.faster, chosen.clicks, chosen.own_hands) == ("left", 5, 3, "right")
    assert chosen.count_again
    assert chosen.click_percent == 50


def test_waiting_is_offered_to_whoever_plays_along(opened: OpenWindow) -> None:
    panel = opened.window.page.listen_panel.practice
    assert panel.wait.isHidden()
    opened.settings.change(own_hands="left")
    assert not panel.wait.isHidden()


def test_a_row_that_is_typed_is_played(opened: OpenWindow) -> None:
    panel = opened.window.page.listen_panel.practice
    QTest.keyClicks(panel.row, "2, then 1-2")
    QTest.keyClick(panel.row, Qt.Key.Key_Return)
    assert [part for _, part, tick in opened.engine.schedule.positions if tick == 0] == [2, 1, 2]
    QTest.mouseClick(panel.play_row, Qt.MouseButton.LeftButton)
    assert not opened.engine.playing


def test_nothing_at_the_right_of_listen_is_clipped_in_a_small_window(opened: OpenWindow) -> None:
    opened.settings.change(own_hands="both")
    panel = opened.window.page.listen_panel
    room = opened.window.page.listen_panel.parentWidget()
    assert room is not None
    assert panel.minimumSizeHint().width() <= room.width()

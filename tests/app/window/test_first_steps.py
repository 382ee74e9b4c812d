"""The first start: three hints, each of which goes away once it has been done."""

from __future__ import annotations

from PySide6.QtCore import Qt

from app.window.header import Workspace
from tests.helpers.open_window import OpenWindow
from tests.helpers.sheet_hands import SheetHands


def test_three_hints_go_away_by_doing_what_they_say_and_stay_away(opened: OpenWindow) -> None:
    opened.window.show_first_steps()
    steps = opened.window.first_steps
    assert steps is not None
    assert "Space" in steps.text.text()
    hands = SheetHands(opened)
    hands.click("note", 2, 0)
    hands.press(Qt.Key.Key_Space)
    assert "letter" in steps.text.text()
    hands.press(Qt.Key.Key_Space)
    hands.type("d")
    assert "F5" in steps.text.text()
    assert steps.isVisible()
    opened.window.show_workspace(Workspace.CAMERA)
    assert not steps.isVisible()
    assert opened.settings.settings.hints_done == 3


def test_what_is_done_out_of_turn_is_still_hinted_at_later(opened: OpenWindow) -> None:
    opened.window.show_first_steps()
    steps = opened.window.first_steps
    assert steps is not None
    opened.window.show_workspace(Workspace.CAMERA)
    assert "Space" in steps.text.text()
    assert opened.settings.settings.hints_done == 0


def test_hints_are_put_away_with_a_key_one_by_one_or_all_at_once(opened: OpenWindow) -> None:
    opened.window.show_first_steps()
    steps = opened.window.first_steps
    assert steps is not None
    steps.next.click()
    assert "letter" in steps.text.text()
    steps.no_more.click()
    assert not steps.isVisible()
    assert opened.settings.settings.hints_done == 3


def test_who_has_done_them_sees_no_hints(opened: OpenWindow) -> None:
    opened.settings.change(hints_done=3)
    opened.window.show_first_steps()
    assert opened.window.first_steps is None

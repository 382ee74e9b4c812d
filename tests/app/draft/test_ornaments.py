"""Ornaments given to the selected notes by keys and menus."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt

from app.widgets.selection import Kind, Place
from tests.helpers.sheet_hands import SheetHands

if TYPE_CHECKING:
    from tests.helpers.open_window import OpenWindow


@pytest.mark.parametrize(("keys", "ornament"), [(Qt.Key.Key_G, "grace_above"), (Qt.Key.Key_T, "turn")])
def test_a_key_gives_the_ornament_and_takes_it_back(opened: OpenWindow, keys: Qt.Key, ornament: str) -> None:
    notes = opened.song.part(1).notes
    index = max((i for i, note in enumerate(notes) if note.melody), key=lambda i: notes[i].duration)
    opened.window.selection.select(Place(1, Kind.NOTE, index))
    hands = SheetHands(opened)
    hands.press(keys, Qt.KeyboardModifier.ControlModifier)
    assert opened.song.part(1).notes[index].ornament == ornament
    hands.press(keys, Qt.KeyboardModifier.ControlModifier)
    assert not opened.song.part(1).notes[index].ornament
    opened.document.undo_stack.undo()
    assert opened.song.part(1).notes[index].ornament == ornament

"""What notes are called is changed once, and every place of the window follows at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from app.widgets.selection import Kind, Place
from app.window.header import Workspace
from core.drawing.shapes import Text

if TYPE_CHECKING:
    from tests.helpers.open_window import OpenWindow


def texts_of_row(opened: OpenWindow, number: int) -> set[str]:
    shapes = opened.window.page.sheet.rows[number - 1].picture.shapes
    return {shape.text for shape in shapes if isinstance(shape, Text)}


@pytest.mark.parametrize(
    ("naming", "bead", "chord", "said"),
    [
        ("letters", "F♯", "Em", "F sharp"),
        ("signs", "F♯", "Em", "F♯"),
        ("german", "Fis", "Em", "Fis"),
        ("syllables", "Fa♯", "Mim", "Fa sharp"),
        ("degrees", "2", "i", "two"),
    ],
)
def test_every_place_follows(opened: OpenWindow, naming: str, bead: str, chord: str, said: str) -> None:
    opened.settings.change(naming="german" if naming == "letters" else "letters")
    opened.settings.change(naming=naming, key_names=True)
    window = opened.window
    assert {bead, chord} <= texts_of_row(opened, 1)
    assert said in window.page.draft_panel.words.kinds["right_hand"].field.toPlainText()
    last = len(opened.song.parts[0].notes) - 1
    window.selection.select(Place(1, Kind.NOTE, last))
    assert f": {said}," in window.page.sheet.accessibleName()
    window.show_workspace(Workspace.CAMERA)
    segment = next(one for one in window.camera._segments if one.kind == "right_hand")
    assert bead in segment.on_screen.split()
    assert said in " ".join(segment.say)

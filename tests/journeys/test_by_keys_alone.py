"""The whole job without a mouse: a new lesson typed, cut, fingered, worded, heard, embellished, moved to another key,
saved, planned.

Every key goes to what has the keyboard's attention, as it would at a desk; Tab is all that moves it.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from app.document.lesson_store import open_lesson
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.open_window import OpenWindow
from tests.helpers.typing_hands import TypingHands
from tests.journeys.pictures import picture

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

CTRL, SHIFT, ALT = (
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.AltModifier,
)
Key = Qt.Key
HELPER_MILLISECONDS = 300_000


def test_a_lesson_is_made_and_planned_without_a_mouse(opened: OpenWindow, tmp_path: Path, qtbot: QtBot) -> None:
    keys = TypingHands(opened.window)
    opened.window.activateWindow()

    keys.press(Key.Key_N, CTRL)
    keys.type("Evening Round")
    keys.press(Key.Key_Return)
    assert opened.song.title == "Evening Round"

    keys.tab_to("Part 1, right hand")
    keys.press(Key.Key_A, CTRL)
    keys.type("C D E F | G - E - | F E D C | D - - -")
    keys.press(Key.Key_Return)
    assert [note.pitch.plain for note in opened.song.parts[0].melody][:6] == ["C4", "D4", "E4", "F4", "G4", "E4"]

    keys.tab_to("Lesson sheet")
    keys.press(Key.Key_Home)
    keys.press(Key.Key_Right)
    keys.press(Key.Key_K, CTRL)
    keys.type("C")
    keys.press(Key.Key_Return)
    assert [chord.symbol.root.plain for chord in opened.song.parts[0].chords] == ["C"]

    keys.press(Key.Key_Up)
    for _ in range(20):
        place = opened.window.selection.place
        note = place.note(opened.song)
        if note is not None and note.onset == 8 * TICKS_PER_QUARTER:
            break
        keys.press(Key.Key_Right)
    keys.press(Key.Key_D, CTRL)
    assert [part.duration for part in opened.song.parts] == [8 * TICKS_PER_QUARTER] * 2
    opened_at = opened.song.parts[0].duration
    keys.press(Key.Key_Left)
    keys.press(Key.Key_Left, CTRL)
    assert opened.song.parts[0].duration == opened_at - TICKS_PER_QUARTER
    keys.press(Key.Key_Z, CTRL)
    assert opened.song.parts[0].duration == opened_at

    keys.tab_to("Lesson sheet")
    keys.press(Key.Key_Home)
    keys.press(Key.Key_Right)
    place = opened.window.selection.place
    keys.press(Key.Key_3)
    assert opened.song.parts[place.part - 1].notes[place.index].finger == 3
    keys.press(Key.Key_L)
    assert "Remove the chords first." in opened.window.bar.text

    keys.press(Key.Key_A, CTRL | SHIFT)
    keys.type("Relax the wrist here.")
    assert [aside.text for aside in opened.song.parts[place.part - 1].asides] == ["Relax the wrist here."]

    keys.tab_to("Together: what to say")
    keys.press(Key.Key_A, CTRL)
    keys.type("Now both, slowly.")
    assert any(own.text == "Now both, slowly." for part in opened.song.parts for own in part.teaching.words)
    picture(opened.window, tmp_path, "drafted_by_keys")

    keys.press(Key.Key_F4)
    keys.tab_to("Lesson sheet")
    keys.press(Key.Key_Space)
    assert opened.window.player.piece is not None
    keys.press(Key.Key_Space)
    assert opened.window.player.piece is None

    keys.tab_to("What the left hand plays")
    keys.press(Key.Key_Down)
    keys.tab_to("Keep")
    keys.press(Key.Key_Space)
    part = opened.song.parts[opened.window.selection.place.part - 1]
    assert part.teaching.pattern != "block"

    panel = opened.window.page.listen_panel
    qtbot.waitUntil(lambda: bool(panel.keys.buttons), timeout=HELPER_MILLISECONDS)
    before = opened.song.key
    keys.tab_to(next(one.accessibleName() for name, one in panel.keys.buttons.items() if name != before.plain))
    keys.press(Key.Key_Space)
    assert opened.song.key != before
    picture(opened.window, tmp_path, "listened_by_keys")

    lesson, plan = tmp_path / "round.lesson", tmp_path / "plan"
    plan.mkdir()
    keys.press(Key.Key_S, CTRL)
    keys.press(Key.Key_A, CTRL)
    keys.type(str(lesson))
    keys.press(Key.Key_Return)
    assert open_lesson(lesson).song == opened.song
    opened.window.activateWindow()  # a desktop's own work, once a dialog has gone
    QApplication.processEvents()
    keys.press(Key.Key_E, CTRL)
    keys.press(Key.Key_A, CTRL)
    keys.type(str(plan))
    keys.press(Key.Key_Return)
    qtbot.waitUntil(lambda: any(plan.rglob("plan.pdf")), timeout=HELPER_MILLISECONDS)
    opened.window.activateWindow()
    QApplication.processEvents()
    keys.press(Key.Key_F5)
    keys.press(Key.Key_Space)
    assert opened.window.camera.segment is not None
    assert opened.window.camera.segment.number == 2
    picture(opened.window, tmp_path, "before_the_camera_by_keys")

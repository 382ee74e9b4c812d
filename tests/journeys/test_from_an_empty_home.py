"""The very first start, in an empty home, and the second one: everything by keys, in the program as it is started.

The program runs in a process of its own, with its engine and its helper; what is done in it is done from here, once
its event loop runs (`python -m tests.journeys.test_from_an_empty_home START FOLDER`).
"""

from __future__ import annotations

import os
import subprocess
import sys
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import Final

from PySide6 import QtWidgets
from PySide6.QtCore import QDeadlineTimer, Qt, QTimer
from PySide6.QtWidgets import QApplication, QFileDialog

from tests.helpers.typing_hands import TypingHands

REPOSITORY: Final = Path(__file__).resolve().parents[2]
PATIENCE: Final = 120_000
"""Milliseconds to wait at most for the helper process and the engine."""
STARTING_SECONDS: Final = 280
SPOKEN: Final = "Begin on the left. Let it ring."
LESSON, PLANS, PICTURES = "Lessons/my_ferry.lesson", "Plans", "pictures"
CTRL: Final = Qt.KeyboardModifier.ControlModifier
Key = Qt.Key


def wait_until(holds: Callable[[], bool]) -> None:
    patience = QDeadlineTimer(PATIENCE)
    while not holds():
        assert not patience.hasExpired(), "waited in vain"
        QApplication.processEvents()


class Owner:
    """Somebody at the keyboard of the computer, with a home of their own."""

    def __init__(self, folder: Path) -> None:
        from app.window.main_window import MainWindow

        self.folder = folder
        wait_until(
            lambda: any(isinstance(one, MainWindow) and one.isVisible() for one in QApplication.topLevelWidgets())
        )
        (self.window,) = (one for one in QApplication.topLevelWidgets() if isinstance(one, MainWindow))
        self.keys = TypingHands(self.window)
        self.come_back()

    def come_back(self) -> None:
        """Give the window the keyboard's attention: a desktop's own work, at the start and once a dialog has gone."""
        self.window.activateWindow()
        QApplication.processEvents()

    def look(self, name: str) -> None:
        from tests.journeys.pictures import picture

        folder = self.folder / PICTURES
        folder.mkdir(exist_ok=True)
        picture(self.dialog or self.window, folder, name)

    def hint(self) -> str:
        """The first step that is hinted at; empty once they are gone."""
        steps = self.window.first_steps
        return steps.text.text() if steps is not None and steps.isVisible() else ""

    @property
    def dialog(self) -> QFileDialog | None:
        """The dialog that is open."""
        return next((one for one in self.window.findChildren(QFileDialog) if one.isVisible()), None)

    def answer_dialog(self, name: str) -> None:
        """Type a path into the dialog that has come up, and press Enter."""
        wait_until(lambda: self.dialog is not None)
        assert isinstance(self.keys.at.window(), QFileDialog), "the dialog has the keyboard's attention"
        self.keys.press(Key.Key_A, CTRL)
        self.keys.type(str(self.folder / name))
        self.keys.press(Key.Key_Return)
        self.come_back()


def first_start(owner: Owner) -> None:
    """A demo lesson is tried out, made one's own, changed, planned, and put away."""
    window, keys = owner.window, owner.keys
    document = window.document
    assert document.song.title == "Night Ferry"
    assert document.path is None
    assert "Press Space" in owner.hint()
    owner.look("1_first_start")

    keys.press(Key.Key_Space)
    assert window.player.piece is not None
    assert "type its new name" in owner.hint()
    keys.press(Key.Key_Space)
    assert window.player.piece is None
    keys.press(Key.Key_Right)
    before = window.selection.place.note(document.song)
    assert before is not None
    keys.type("a" if before.pitch.name.letter != "A" else "c")
    renamed = window.selection.place.note(document.song)
    assert renamed is not None
    assert renamed.pitch != before.pitch
    assert "F5" in owner.hint()
    owner.look("2_second_hint_done")
    keys.press(Key.Key_F5)
    assert owner.hint() == ""
    owner.look("3_hints_gone")
    keys.press(Key.Key_F3)

    keys.press(Key.Key_S, CTRL)
    owner.look("4_where_to_save")
    owner.answer_dialog(LESSON)
    assert document.path == owner.folder / LESSON
    assert document.is_clean

    keys.press(Key.Key_4)
    assert document.song.parts[0].notes[0].finger == 4
    length = document.song.parts[0].duration
    keys.press(Key.Key_Right, CTRL)
    assert document.song.parts[0].duration > length
    keys.press(Key.Key_PageDown)
    keys.press(Key.Key_PageDown)
    keys.press(Key.Key_L)
    assert "Remove the chords first." in window.bar.text
    keys.press(Key.Key_Down)
    while document.song.parts[2].chords:
        keys.press(Key.Key_Delete)
    keys.press(Key.Key_Home)
    keys.press(Key.Key_L)
    assert document.song.parts[2].notes[0].hand.name == "LEFT"
    owner.look("5_another_hand")
    keys.press(Key.Key_PageUp)
    keys.tab_to("Right hand: what to say")
    keys.press(Key.Key_A, CTRL)
    keys.type(SPOKEN)
    keys.press(Key.Key_F3)
    assert keys.at is window.page.sheet
    owner.look("6_changed")

    keys.press(Key.Key_F6)
    keys.tab_to("Speaking rate")
    keys.press(Key.Key_A, CTRL)
    keys.type("110")
    keys.press(Key.Key_Return)
    assert window.settings.settings.speaking_rate == 110
    owner.look("7_settings")
    keys.press(Key.Key_Escape)
    keys.press(Key.Key_F9)
    keys.press(Key.Key_F7)
    assert window.settings.settings.key_names

    keys.press(Key.Key_E, CTRL)
    owner.answer_dialog(PLANS)
    wait_until(lambda: "Written to" in window.bar.text)
    owner.look("8_planned")

    keys.press(Key.Key_Q, CTRL)
    assert window.bar.is_asking
    owner.look("9_asked")
    keys.press(Key.Key_Return)
    assert not window.isVisible()


def second_start(owner: Owner) -> None:
    """What was left is there: the lesson, as it was saved, and the settings; no hint comes back."""
    window, keys = owner.window, owner.keys
    song = window.document.song
    assert window.document.path == owner.folder / LESSON
    assert window.document.is_clean
    assert owner.hint() == ""
    assert song.parts[0].notes[0].finger == 4
    assert song.parts[2].notes[0].hand.name == "LEFT"
    assert SPOKEN in [own.text for part in song.parts for own in part.teaching.words]
    settings = window.settings.settings
    assert (settings.speaking_rate, settings.key_names, settings.speed) == (110, True, 90)
    assert keys.at is window.page.sheet
    owner.look("10_second_start")
    keys.press(Key.Key_F2)
    wait_until(lambda: not window.songs.is_reading)
    assert [window.songs.table.entry(row).path for row in range(window.songs.table.rowCount())] == [
        str(owner.folder / LESSON)
    ]
    owner.look("11_songs")
    keys.press(Key.Key_F3)
    keys.press(Key.Key_Space)
    assert window.player.piece is not None
    keys.press(Key.Key_Space)
    keys.press(Key.Key_Q, CTRL)
    assert not window.isVisible()


STARTS: Final = {"first": first_start, "second": second_start}


def run(start: str, folder: Path) -> int:
    """Start the program with its owner at the keyboard; its exit status, or 3 where something was not as it should."""
    trouble: list[str] = []

    def work() -> None:
        try:
            STARTS[start](Owner(folder))
        except BaseException:  # Qt would lose it
            trouble.append(traceback.format_exc())
            QApplication.exit(1)

    class Driven(QApplication):
        """The program's own application, with somebody who begins to work once it runs."""

        def exec(self) -> int:  # type: ignore[override]  # Qt has it static, and finds it by either way
            QTimer.singleShot(0, work)
            return super().exec()

    QtWidgets.QApplication = Driven  # type: ignore[misc]  # the program is to make this one
    from app.main import main

    status = main([])
    sys.stderr.write("".join(trouble))
    return 3 if trouble else status


def start_program(start: str, home: Path) -> None:
    surroundings = {name: value for name, value in os.environ.items() if not name.startswith("XDG_")}
    surroundings |= {"HOME": str(home), "QT_QPA_PLATFORM": "offscreen", "LC_ALL": "C.UTF-8"}
    done = subprocess.run(
        [sys.executable, "-m", __name__, start, str(home)],
        env=surroundings,
        cwd=REPOSITORY,
        capture_output=True,
        text=True,
        timeout=STARTING_SECONDS,
        check=False,
    )
    assert done.returncode == 0, done.stderr


def test_a_first_lesson_from_an_empty_home_and_back_again(tmp_path: Path) -> None:
    for name in ("Lessons", PLANS):
        (tmp_path / name).mkdir()
    start_program("first", tmp_path)
    assert (tmp_path / LESSON).is_file()
    assert {"plan.pdf", "plan.html", "plan.csv", "plan.json"} <= {path.name for path in (tmp_path / PLANS).iterdir()}
    assert not list(tmp_path.rglob("*.unsaved")), "nothing is left to be recovered"
    start_program("second", tmp_path)
    assert len(list((tmp_path / PICTURES).iterdir())) == 11


if __name__ == "__main__":
    sys.exit(run(sys.argv[1], Path(sys.argv[2])))

"""The window killed outright while its owner works: what was done up to a few seconds before is offered again."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from app.document.lesson_store import open_lesson, save_lesson
from app.document.unsaved_copies import UnsavedCopies
from tests.helpers.open_window import open_window
from tests.helpers.songs import lamplighters_waltz, night_ferry
from tests.journeys.pictures import picture

HOME = Path(__file__).resolve().parents[2]

WORKING_WINDOW = """
import sys, time
from msgspec.structs import replace
from pathlib import Path
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from app.background.slow_work import SlowWork
from app.document.document import LessonDocument
from app.engine.qt_client import QtEngine
from app.settings.settings_store import SettingsStore
from app.songs.empty_lesson import new_lesson
from app.widgets.themes import STYLE, Themes
from app.window.main_window import MainWindow

own, lesson = map(Path, sys.argv[1:])
application = QApplication([])
application.setStyle(STYLE)
document = LessonDocument(new_lesson(), folder=own)
document.open(lesson)
settings = SettingsStore(own / "settings.json")
window = MainWindow(document, settings, Themes(application, "light"), QtEngine(), SlowWork())
window.show()
count = 0

def work():
    global count
    count += 1
    document.apply(lambda song: replace(song, title=f"Change {count}"), "the title", typing="title")
    print(count, time.monotonic(), flush=True)

timer = QTimer()
timer.timeout.connect(work)
timer.start(100)
application.exec()
"""

MOST_SECONDS_LOST = 5.0


@pytest.mark.parametrize("seconds", [2.6, 4.9])
@pytest.mark.usefixtures("qapp")
def test_a_killed_window_loses_at_most_five_seconds(tmp_path: Path, seconds: float) -> None:
    own, lesson = tmp_path / "own", tmp_path / "mine.lesson"
    save_lesson(night_ferry(), lesson)
    done: dict[int, float] = {}
    command = [sys.executable, "-c", WORKING_WINDOW, str(own), str(lesson)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=HOME) as window:
        assert window.stdout is not None
        for line in window.stdout:
            count, moment = line.split()
            done[int(count)] = float(moment)
            if done[int(count)] - done[1] > seconds:
                break
        window.kill()
    left = UnsavedCopies(own).left_for(lesson)
    assert left is not None
    kept = int(left.song.title.removeprefix("Change "))
    assert done[max(done)] - done[kept] <= MOST_SECONDS_LOST
    assert open_lesson(lesson).song == night_ferry(), "a copy is not a saving"

    with open_window(lamplighters_waltz(), own) as again:
        again.window.files.open(lesson)
        assert again.window.bar.is_asking
        picture(again.window, tmp_path, "recovery_offered")
        again.window.bar.answers[0].click()
        assert again.song.title == f"Change {kept}"
        picture(again.window, tmp_path, "recovered")
        again.window.files.save()
    assert open_lesson(lesson).song.title == f"Change {kept}"

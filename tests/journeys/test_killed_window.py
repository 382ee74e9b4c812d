"""The window killed outright while it plays: no sounding note, no orphan process."""

from __future__ import annotations

import os
import select
import subprocess
import sys
from pathlib import Path

import pytest

HOME = Path(__file__).resolve().parents[2]

PLAYING_WINDOW = """
import sys
from PySide6.QtWidgets import QApplication
from app.background.slow_work import SlowWork
from app.document.document import LessonDocument
from app.engine.qt_client import QtEngine
from app.listen.piece import Piece
from app.resources import demo_songs
from app.settings.settings_store import SettingsStore
from app.widgets.themes import STYLE, Themes
from app.window.main_window import MainWindow
from app.songs.empty_lesson import new_lesson
from pathlib import Path

application = QApplication([])
application.setStyle(STYLE)
document = LessonDocument(new_lesson())
document.open_copy(demo_songs()[0])
engine = QtEngine()
settings = SettingsStore(Path(sys.argv[1]) / "settings.json")
window = MainWindow(document, settings, Themes(application, "light"), engine, SlowWork())
window.show()
settings.change(again=True)
window.player.play(Piece("song"))

def tell(part, tick):
    if part and tick:
        window.player.position_changed.disconnect(tell)
        print(engine._process.processId(), flush=True)

window.player.position_changed.connect(tell)
application.exec()
"""


@pytest.mark.skipif(not hasattr(os, "pidfd_open"), reason="needs Linux's way of waiting for any process")
def test_killing_the_window_while_it_plays_leaves_no_engine(tmp_path: Path) -> None:
    with subprocess.Popen(
        [sys.executable, "-c", PLAYING_WINDOW, str(tmp_path)], stdout=subprocess.PIPE, text=True, cwd=HOME
    ) as window:
        assert window.stdout is not None
        engine = os.pidfd_open(int(window.stdout.readline()))
        try:
            waiting = select.poll()
            waiting.register(engine, select.POLLIN)
            assert not waiting.poll(0), "the engine has ended before the window was killed"
            window.kill()
            assert waiting.poll(20_000), "the engine goes on without its window"
        finally:
            os.close(engine)

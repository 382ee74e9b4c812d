"""The real window with a real engine: what is played can be heard through the ports of a `Patchbay`."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QApplication

from app.background.slow_work import SlowWork
from app.document.document import LessonDocument
from app.engine.protocol import Ready
from app.engine.qt_client import QtEngine
from app.settings.settings_store import SettingsStore
from app.window.main_window import MainWindow
from core.song.song import Song
from tests.app.engine.fakes import wait_until
from tests.helpers.midi_patchbay import Patchbay
from tests.helpers.open_window import themes_of

START_SECONDS = 60.0
KNOCK_SECONDS = 0.1


@dataclass(frozen=True)
class PlayingWindow:
    """A window that plays, and what it was made of."""

    window: MainWindow
    document: LessonDocument
    settings: SettingsStore
    engine: QtEngine
    slow_work: SlowWork

    @property
    def engine_process(self) -> int:
        """Number of the engine's process."""
        process = self.engine._process
        assert process is not None
        return int(process.processId())


@contextmanager
def playing_window(
    song: Song, folder: Path, size: tuple[int, int] = (1280, 800), engine: QtEngine | None = None
) -> Iterator[PlayingWindow]:
    """Show the window on a song with an engine that has started; close both afterwards, whatever has changed."""
    application = QApplication.instance()
    assert isinstance(application, QApplication)
    themes = themes_of(application)
    settings = SettingsStore(folder / "settings.json")
    document, slow_work = LessonDocument(song, folder=folder), SlowWork()
    engine = engine or QtEngine()
    ready: list[Ready] = []
    engine.ready.connect(ready.append)
    window = MainWindow(document, settings, themes, engine, slow_work)
    window.resize(*size)
    window.show()
    try:
        engine.start()
        wait_with_window(lambda: bool(ready), START_SECONDS)
        yield PlayingWindow(window, document, settings, engine, slow_work)
    finally:
        document.undo_stack.setClean()
        window.close()
        window.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def wait_with_window(true: Callable[[], bool], seconds: float = START_SECONDS) -> None:
    """Wait for something while the window goes on working; fails where it never comes."""

    def looked() -> bool:
        QApplication.processEvents()
        return true()

    wait_until(looked, seconds)


def wait_until_heard(opened: PlayingWindow, ports: Patchbay) -> None:
    """A port that has just been opened hears nothing of its first periods: knock until it does."""
    heard: list[int] = []
    opened.engine.key.connect(lambda midi, *_: heard.append(midi))

    knocked = [float("-inf")]

    def knock() -> bool:
        if time.monotonic() - knocked[0] > KNOCK_SECONDS:
            knocked[0] = time.monotonic()
            ports.press(0x90, 108, 1)
            ports.press(0x80, 108, 0)
        return 108 in heard

    wait_with_window(knock)
    ports.press(0x90, 21, 1)
    ports.press(0x80, 21, 0)
    wait_with_window(lambda: heard[-2:] == [21, 21])

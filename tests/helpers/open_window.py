"""The real window on a song, with a fake engine and settings of its own."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QApplication

from app.background.slow_work import SlowWork
from app.document.document import LessonDocument
from app.settings.settings_store import SettingsStore
from app.widgets.themes import STYLE, Themes
from app.window.main_window import MainWindow
from core.song.song import Song
from tests.helpers.fake_engine import FakeEngine

USUAL_PERCENT = 100
_themes: list[Themes] = []


def themes_of(application: QApplication) -> Themes:
    """The program's themes; one for all tests, since a program is dressed once."""
    if not _themes:
        application.setStyle(STYLE)
        _themes.append(Themes(application, "light"))
    return _themes[0]


@dataclass(frozen=True)
class OpenWindow:
    """A window under test, and what it was made of."""

    window: MainWindow
    document: LessonDocument
    settings: SettingsStore
    engine: FakeEngine
    slow_work: SlowWork

    @property
    def song(self) -> Song:
        return self.document.song


@contextmanager
def open_window(song: Song, folder: Path, size: tuple[int, int] = (1280, 800)) -> Iterator[OpenWindow]:
    """Show the window on a song; close it afterwards, whatever has changed."""
    application = QApplication.instance()
    assert isinstance(application, QApplication)
    themes = themes_of(application)
    settings = SettingsStore(folder / "settings.json")
    document, engine, slow_work = LessonDocument(song, folder=folder), FakeEngine(), SlowWork()
    window = MainWindow(document, settings, themes, engine, slow_work)
    window.resize(*size)
    window.show()
    application.processEvents()
    try:
        yield OpenWindow(window, document, settings, engine, slow_work)
    finally:
        document.undo_stack.setClean()
        window.close()
        window.deleteLater()
        themes.choose("light")
        themes.scale_text(USUAL_PERCENT)
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)

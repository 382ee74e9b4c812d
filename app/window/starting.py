"""Starts the window: wires settings, themes, lesson, engine and helper together, and stays until it is closed."""

from __future__ import annotations

import gc
import signal
import sys
from pathlib import Path
from typing import Final

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from app.background.slow_work import SlowWork
from app.document.document import LessonDocument
from app.document.lesson_store import LESSON_ENDING
from app.engine.qt_client import QtEngine
from app.languages import chosen_catalogue
from app.resources import demo_songs
from app.settings.settings_place import settings_path
from app.settings.settings_store import SettingsStore
from app.songs.empty_lesson import new_lesson
from app.widgets.spoken_roles import install_spoken_roles
from app.widgets.themes import STYLE, Themes
from app.window.garbage import QuietCollecting
from app.window.main_window import MainWindow
from core.song.errors import PhrasebenchError

STYLE_WORDS: Final = ("-style", STYLE)
"""Said as words of a command line: a style that is set afterwards is handed back, and takes long to make known."""

ENGINE_MILLISECONDS: Final = 100
"""How long the engine's start waits, so that the window is painted first; what is played sooner starts it at once."""


def start(path: Path | None) -> int:
    """Open the window on a file, on the last lesson, or the first time on a demo lesson; its exit status."""
    application = QApplication([*sys.argv[:1], *STYLE_WORDS])
    application.setApplicationName("phrasebench")
    application.setApplicationDisplayName("Phrasebench")
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    if (catalogue := chosen_catalogue()) is not None:
        from app.window.spoken_texts import install_spoken_texts

        install_spoken_texts(catalogue, application)
    settings = SettingsStore(settings_path(), application)
    install_spoken_roles()
    themes = Themes(application, settings.settings.theme, settings.settings.text_scale, sheet_waits=True)
    first = path or _last_lesson(settings) or demo_songs()[0]
    document, trouble = _first_document(first, settings.folder)
    engine = QtEngine(application)
    window = MainWindow(document, settings, themes, engine, SlowWork(application))
    window.show_first_steps()
    themes.put_on_sheet()
    window.show()
    if trouble:
        window.bar.say(trouble)
    elif document.path is not None:
        window.files.remember(first)
    elif first.suffix.lower() != LESSON_ENDING:
        window.files.open(first)
    window.keeping.look_for_copies(orphans=True)
    QTimer.singleShot(ENGINE_MILLISECONDS, engine.start)
    QTimer.singleShot(0, _collect_garbage_again)
    _collect_when_quiet(window)
    return application.exec()


def _collect_garbage_again() -> None:
    """Take up collecting garbage, which `app.window.run` put off; what has been loaded stays and is passed over."""
    gc.freeze()
    gc.enable()


def _collect_when_quiet(window: MainWindow) -> None:
    quiet = QuietCollecting(window)
    window.files.opened.connect(quiet.lesson_opened)
    window.keeping.taken_up.connect(quiet.lesson_opened)
    window.document.song_changed.connect(lambda _before, _after: quiet.lesson_changed())
    quiet.lesson_opened()


def _first_document(path: Path, folder: Path | None = None) -> tuple[LessonDocument, str]:
    """The lesson to begin with, and why it is not the one asked for where it cannot be opened.

    A song that is no lesson takes long to read: an empty lesson keeps its place until the helper has read it.
    """
    document = LessonDocument(new_lesson(), folder=folder)
    if path.suffix.lower() != LESSON_ENDING:
        return document, ""
    try:
        if path.resolve() in demo_songs():
            document.open_copy(path)
        else:
            document.open(path)
    except PhrasebenchError as error:
        document.open_copy(demo_songs()[0])
        return document, str(error)
    return document, ""


def _last_lesson(settings: SettingsStore) -> Path | None:
    """The lesson opened last, if it is still there."""
    recent = settings.settings.recent
    return Path(recent[0]) if recent and Path(recent[0]).is_file() else None

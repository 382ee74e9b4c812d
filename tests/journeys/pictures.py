"""Pictures of a journey's moments, left in the test's temporary folder to be looked at."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QDeadlineTimer
from PySide6.QtWidgets import QApplication, QWidget

from app.window.main_window import MainWindow

PATIENCE = 20_000
"""Milliseconds to wait at most for what follows a change."""
PASSES = 5
"""Of the event loop: a field that has grown moves what stands below it with the next."""
FEWEST_COLOURS = 8


def picture(window: QWidget, folder: Path, name: str) -> Path:
    """Keep what a window shows once it has come to rest; a picture of a colour or two would be no window."""
    patience = QDeadlineTimer(PATIENCE)
    QApplication.processEvents()
    while isinstance(window, MainWindow) and window.header.is_waiting and not patience.hasExpired():
        QApplication.processEvents()
    for _ in range(PASSES):
        QApplication.processEvents()
    image = window.grab().toImage()
    columns, rows = range(0, image.width(), 9), range(0, image.height(), 9)
    assert len({image.pixel(x, y) for x in columns for y in rows}) > FEWEST_COLOURS
    path = folder / f"{name}.png"
    assert image.save(str(path))
    return path

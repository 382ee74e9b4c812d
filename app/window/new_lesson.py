"""The lesson that File, New begins: a part of four empty bars to type into."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QCoreApplication

from core.song.metre import Metre
from core.song.part import Part
from core.song.song import Song

BARS: Final = 4


def new_lesson() -> Song:
    """An untitled song in C major, four bars of 4/4 without a note."""
    title = QCoreApplication.translate("NewLesson", "Untitled")
    return Song(title, (Part(BARS * Metre().bar_ticks),))

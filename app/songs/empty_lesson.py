"""A lesson with no notes yet; apart from the page on which it is chosen, since every start of the window needs one."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QCoreApplication

from core.song.key import Key, KeyChange
from core.song.metre import Metre, MetreChange
from core.song.part import Part
from core.song.song import C_MAJOR, Song
from core.song.tempo import TempoChange

USUAL_BARS: Final = 4
USUAL_TEMPO: Final = 90
COMMON_TIME: Final = Metre()


def new_lesson(
    title: str = "", key: Key = C_MAJOR, metre: Metre = COMMON_TIME, tempo: float = USUAL_TEMPO, bars: int = USUAL_BARS
) -> Song:
    """A song of one part with no notes yet."""
    title = " ".join(title.split()) or QCoreApplication.translate("NewLesson", "Untitled")
    return Song(
        title,
        (Part(bars * metre.bar_ticks),),
        keys=(KeyChange(0, key),),
        metres=(MetreChange(0, metre),),
        tempos=(TempoChange(0, tempo),),
    )

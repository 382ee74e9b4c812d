"""What has been computed about a part, as its row shows it."""

from __future__ import annotations

import json
from functools import lru_cache

from app.resources import asset
from core.drawing.lesson_sheet import RowFacts
from core.drawing.metrics import FontMetrics
from core.session.analysis import analyse_part
from core.session.running_order import teach_seconds
from core.session.timing import LessonSettings
from core.song.note import Hand
from core.song.song import Song
from core.teaching.fingering import finger_line
from core.teaching.landings import landings


@lru_cache(maxsize=1)
def font_metrics() -> FontMetrics:
    """Widths of the text font's letters."""
    return FontMetrics.of_table(json.loads(asset("fonts/metrics.json")))


def row_facts(song: Song, number: int, settings: LessonSettings) -> RowFacts:
    """Fingers, landings and time to teach of a part."""
    analysis = analyse_part(song, number)
    return RowFacts(
        {index: fingered.finger for index, fingered in enumerate(analysis.fingers)},
        analysis.landings,
        teach_seconds(song, number, settings),
    )


def passing_facts(song: Song, number: int, seconds: float | None) -> RowFacts:
    """Fingers and landings of a part that is only tried while the mouse drags something, with a time already known.

    What is said in the part, and how long that takes, is computed once it is let go.
    """
    part = song.part(number)
    fingers: dict[int, int] = {}
    for hand in Hand:
        places = [index for index, note in enumerate(part.notes) if note.hand is hand]
        line = finger_line([part.notes[index] for index in places], hand, song.hands)
        fingers.update((index, fingered.finger) for index, fingered in zip(places, line, strict=True))
    return RowFacts(fingers, landings(part), seconds)

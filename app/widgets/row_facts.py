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
from core.song.song import Song


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

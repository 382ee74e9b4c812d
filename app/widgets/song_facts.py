"""A song's facts in one line, as the header and the list of songs show them."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication

from core.session.running_order import USUAL_SETTINGS, running_order, total_seconds
from core.session.timing import LessonSettings
from core.song.errors import PlanError
from core.song.song import Song
from core.teaching.naming import Names

CONTEXT = "SongFacts"


def clock(seconds: float) -> str:
    """Seconds as ``6:33``, from an hour on as ``1:06:33``."""
    whole = round(seconds)
    minutes, rest = divmod(whole, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes}:{rest:02}"


def figure(number: float) -> str:
    """A number without needless decimals: 84, 61.5."""
    return f"{number:.1f}".rstrip("0").rstrip(".")


def counted(count: int, one: str, many: str) -> str:
    """A count with its noun."""
    return f"{count} {one if count == 1 else many}"


def lesson_seconds(song: Song, settings: LessonSettings = USUAL_SETTINGS) -> float | None:
    """How long the whole camera session lasts, or None where there is nothing to teach yet."""
    try:
        return total_seconds(running_order(song, settings))
    except PlanError:
        return None


def facts_line(song: Song, settings: LessonSettings = USUAL_SETTINGS) -> str:
    """Key, metre, tempo, what there is of the song, and how long the lesson is."""

    def translated(text: str) -> str:
        return QCoreApplication.translate(CONTEXT, text)

    bars = sum(1 for bar in song.bars if bar.number)
    extent = ", ".join(
        part
        for part in (
            song.section,
            counted(bars, translated("bar"), translated("bars")),
            counted(len(song.parts), translated("part"), translated("parts")),
        )
        if part
    )
    names = Names(settings.way_of_naming, song.key)
    facts = [names.key_shown(song.key), str(song.metre), f"{figure(song.tempo)} {translated('bpm')}", extent]
    seconds = lesson_seconds(song, settings)
    if seconds is not None:
        facts.append(f"{translated('lesson')} {clock(seconds)}")
    return " · ".join(facts)

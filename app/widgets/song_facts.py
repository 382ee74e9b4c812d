"""A song's facts in one line, as the header and the list of songs show them."""

from __future__ import annotations

from core.session.running_order import USUAL_SETTINGS, running_order, total_seconds
from core.session.timing import LessonSettings
from core.song.errors import PlanError
from core.song.song import Song
from core.song.wording import say, say_counted
from core.teaching.naming import Names


def clock(seconds: float) -> str:
    """Seconds as ``6:33``, from an hour on as ``1:06:33``."""
    whole = round(seconds)
    minutes, rest = divmod(whole, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes}:{rest:02}"


def figure(number: float) -> str:
    """A number without needless decimals: 84, 61.5."""
    return f"{number:.1f}".rstrip("0").rstrip(".")


def lesson_seconds(song: Song, settings: LessonSettings = USUAL_SETTINGS) -> float | None:
    """How long the whole camera session lasts, or None where there is nothing to teach yet."""
    try:
        return total_seconds(running_order(song, settings))
    except PlanError:
        return None


def facts_line(song: Song, settings: LessonSettings = USUAL_SETTINGS) -> str:
    """Key, metre, tempo, what there is of the song, and how long the lesson is."""
    bars = sum(1 for bar in song.bars if bar.number)
    extent = ", ".join(
        part
        for part in (
            song.section,
            say_counted("{count} bar", "{count} bars", bars),
            say_counted("{count} part", "{count} parts", len(song.parts)),
        )
        if part
    )
    names = Names(settings.way_of_naming, song.key)
    facts = [names.key_shown(song.key), str(song.metre), say("{tempo} bpm", tempo=figure(song.tempo)), extent]
    seconds = lesson_seconds(song, settings)
    if seconds is not None:
        facts.append(say("lesson {length}", length=clock(seconds)))
    return " · ".join(facts)

"""The session plan: the running order with everything a page of it shows, computed once for all its files."""

from __future__ import annotations

from enum import Enum
from math import inf

from msgspec import Struct
from msgspec.structs import replace

from core.drawing.keyboard import LitKey, keyboard_range, lay_out_keyboard
from core.drawing.lesson_sheet import RowFacts, lay_out_row
from core.drawing.metrics import FontMetrics
from core.drawing.row_slices import slices
from core.drawing.shapes import Picture
from core.drawing.sheet_style import sheet_style
from core.handover.plan_words import (
    clock,
    credits_of,
    facts_of,
    hand_pitches,
    lasts,
    review_of,
    what_to_play,
    where_hands_lie,
)
from core.session.analysis import analyse_part
from core.session.asides import aside_line
from core.session.running_order import Segment, running_order, teach_seconds
from core.session.timing import LessonSettings
from core.song.note import Hand
from core.song.song import Song
from core.teaching.naming import Names, Naming


class Paper(Enum):
    """A size of paper, by the name that typesetting and style sheets share."""

    A4 = "a4"
    LETTER = "letter"


class PlanRow(Struct, frozen=True):
    """One segment as the table shows it.

    Attributes:
        number: place in the running order.
        at: when it begins, as ``1:12``.
        title: what it is called.
        kind: `Segment.kind`.
        say: what is said, in paragraphs.
        review: a reminder to read own words again; may be empty.
        play: what is played; may be empty.
        lasts: how long it takes, as ``0:25``.
        asides: what may be said as well, or left out.
    """

    number: int
    at: str
    title: str
    kind: str
    say: tuple[str, ...]
    review: str
    play: str
    lasts: str
    asides: tuple[str, ...] = ()


class SessionPlan(Struct, frozen=True):
    """A lesson planned for the camera.

    Attributes:
        song: what is taught.
        segments: the running order.
        facts: key, metre, tempo, extent, running time, in a line.
        credit: who wrote it, and the note of rights.
        hands: where the hands lie, in a line.
        rows: the table.
        paper: the size of paper.
        naming: what notes are called in the pictures.
        settings: how the teacher gives lessons.
    """

    song: Song
    segments: tuple[Segment, ...]
    facts: str
    credit: str
    hands: str
    rows: tuple[PlanRow, ...]
    paper: Paper
    naming: Naming
    settings: LessonSettings


def session_plan(
    song: Song, settings: LessonSettings, paper: Paper = Paper.A4, naming: Naming | None = None
) -> SessionPlan:
    """Plan a lesson; raises PlanError for a song with nothing to teach.

    Args:
        song: what is taught.
        settings: how the teacher gives lessons.
        paper: the size of paper.
        naming: what notes are called, words and pictures, in place of what the settings say.
    """
    if naming is not None:
        settings = replace(settings, naming=naming.value)
    segments = running_order(song, settings)
    rows = tuple(
        PlanRow(
            segment.number,
            clock(segment.start),
            segment.title,
            segment.kind,
            segment.say,
            review_of(song, segment),
            what_to_play(song, segment),
            lasts(segment),
            tuple(aside_line(song, aside) for aside in segment.asides),
        )
        for segment in segments
    )
    names = Names(settings.way_of_naming, song.key)
    facts, hands = facts_of(song, segments, settings, names), where_hands_lie(hand_pitches(song), names)
    return SessionPlan(song, segments, facts, credits_of(song), hands, rows, paper, names.naming, settings)


def keyboard_picture(plan: SessionPlan, metrics: FontMetrics, width: float, height: float) -> Picture:
    """Every key that the plain version uses, lit by hand."""
    played = {hand: {pitch.midi for pitch in pitches} for hand, pitches in hand_pitches(plan.song).items()}
    right, left = played.get(Hand.RIGHT, set()), played.get(Hand.LEFT, set())
    lit = {
        midi: LitKey(Hand.RIGHT if midi in right else Hand.LEFT, shared=midi in right & left) for midi in right | left
    }
    first, last = keyboard_range(right | left)
    return lay_out_keyboard(first, last, width, height, lit, metrics)


def sheet_pictures(
    plan: SessionPlan, metrics: FontMetrics, width: float, tallest: float = inf
) -> tuple[tuple[Picture, ...], ...]:
    """The lesson sheet's rows as they are printed: without buttons, wrapped at a width in pixels.

    A row taller than `tallest` pixels comes in pieces.
    """
    style = sheet_style(plan.song, metrics, width, plan.naming, buttons=False)
    rows = []
    for number in range(1, len(plan.song.parts) + 1):
        facts = RowFacts.of(analyse_part(plan.song, number), teach_seconds(plan.song, number, plan.settings))
        rows.append(slices(lay_out_row(plan.song, number, style, metrics, analysis=facts), tallest, metrics))
    return tuple(rows)

"""A session plan whose every word is fixed here, so that a file of it changes only where the file itself does."""

from __future__ import annotations

from msgspec.structs import replace

from core.handover.plan_words import lasts, what_to_play
from core.handover.session_plan import Paper, PlanRow, SessionPlan
from core.session.running_order import Segment
from core.session.timing import LessonSettings, Play
from core.song.part import Teaching
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER as QUARTER
from core.teaching.naming import Naming
from tests.helpers.drawn_songs import drawn_song, part

BAR = 4 * QUARTER


def fixed_song() -> Song:
    """Two parts without chords, with fingers of the teacher's own, not taught: nothing of them is computed."""
    parts = []
    for line in ("E4 G4 A4 B4", "C#5 B4 A4:2"):
        one = part(line)
        notes = tuple(replace(note, finger=1 + place) for place, note in enumerate(one.notes))
        parts.append(replace(one, notes=notes, teaching=Teaching(taught=False)))
    return drawn_song("Night <Ferry> & “Co”", "E dorian", "4/4", *parts, tempo=84.0)


def fixed_segments() -> tuple[Segment, ...]:
    """One segment of each kind."""
    both = (1, 2)
    rows = [
        ("opening", both, "Opening", ("Good evening.", "This is the verse."), Play(0, 2 * BAR, "both", 84.0, 1, BAR)),
        ("right_hand", (1,), "Part 1, right hand", ("E, G, A, B.",), Play(0, BAR, "right", 56.5, 2, BAR)),
        ("left_hand", (1,), "Part 1, left hand", ("E minor: E, G, B.",), Play(0, BAR, "left", 56.5)),
        ("together", (1,), "Part 1, together", ("E minor lands with the E.",), Play(0, BAR, "both", 56.0, 3, BAR // 3)),
        ("run_through", both, "Run-through 1–2", ("Parts 1 and 2.",), Play(0, 2 * BAR, "both", 66.0, 1, BAR)),
        ("embellishment", both, "Embellish", ("Or so.",), Play(0, 2 * BAR, "both", 66.0, 1, BAR, "broken")),
    ]
    segments, start = [], 0.0
    for number, (kind, parts, title, say, play) in enumerate(rows, 1):
        segments.append(Segment(number, kind, parts, title, say, f"{title} · on screen", (play,), start, 30.25))
        start += 30.25
    closing = Segment(7, "closing", both, "Closing", ('That was, "it".',), "Night Ferry", (), start, 16.0)
    return (*segments, closing)


def fixed_plan() -> SessionPlan:
    """The plan."""
    song, segments = fixed_song(), fixed_segments()
    rows = tuple(
        PlanRow(
            segment.number,
            f"{round(segment.start) // 60}:{round(segment.start) % 60:02}",
            segment.title,
            segment.kind,
            segment.say,
            "Read them again." if segment.kind == "left_hand" else "",
            what_to_play(song, segment),
            lasts(segment),
        )
        for segment in segments
    )
    return SessionPlan(
        song,
        segments,
        "Session plan · E Dorian · 4/4",
        "Rights: noted.",
        "Right hand from the E above middle C up to C sharp",
        rows,
        Paper.A4,
        Naming.LETTERS,
        LessonSettings(),
    )

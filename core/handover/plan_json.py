"""The session plan as data: ``plan.json``. Times are in seconds, musical times in quarter notes."""

from __future__ import annotations

import json

from core.handover.session_plan import SessionPlan
from core.session.asides import PlacedAside, asides_seconds
from core.session.moments import moment_words
from core.session.running_order import Segment, total_seconds
from core.session.script_check import script_warnings
from core.session.timing import Play
from core.song.time import quarters_number

Json = dict[str, object]


def plan_object(plan: SessionPlan) -> Json:
    """The plan as an object of plain values; with ``warnings`` where the teacher's own words are not the part's."""
    song = plan.song
    warnings = script_warnings(song, plan.naming)
    return {
        "title": song.title,
        "key": song.key.plain,
        "metre": str(song.metre),
        "tempo": song.tempo,
        "seconds": _seconds(total_seconds(plan.segments)),
        "segments": [_segment(plan, segment) for segment in plan.segments],
        **({"warnings": list(warnings)} if warnings else {}),
    }


def write_plan_json(plan: SessionPlan) -> bytes:
    """``plan.json``."""
    return (json.dumps(plan_object(plan), ensure_ascii=False, allow_nan=False, indent=1) + "\n").encode()


def _segment(plan: SessionPlan, segment: Segment) -> Json:
    return {
        "number": segment.number,
        "kind": segment.kind,
        "parts": list(segment.parts),
        "title": segment.title,
        "say": list(segment.say),
        "on_screen": segment.on_screen,
        "play": [_play(play) for play in segment.play],
        "start": _seconds(segment.start),
        "seconds": _seconds(segment.seconds),
        **({"asides": [_aside(plan, aside) for aside in segment.asides]} if segment.asides else {}),
    }


def _aside(plan: SessionPlan, aside: PlacedAside) -> Json:
    """What may be said as well; the segment's seconds go without it."""
    return {
        "onset": quarters_number(aside.onset),
        "place": moment_words(plan.song, aside.onset),
        "text": aside.text,
        "seconds": _seconds(asides_seconds((aside,), plan.settings)),
    }


def _play(play: Play) -> Json:
    """A play; its count-in is in quarter notes like every musical time."""
    count_in = quarters_number(play.count_in)
    return {
        "from": quarters_number(play.start),
        "to": quarters_number(play.end),
        "hands": play.hands,
        "tempo": play.tempo,
        "times": play.times,
        "count_in": int(count_in) if count_in.is_integer() else count_in,
    }


def _seconds(seconds: float) -> float:
    """Seconds to the millisecond."""
    return round(seconds, 3)

"""A segment of the running order as it sounds when it is recorded: counted in, repeated, at the tempo of each play."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from core.arranging.melody_rhythm import AS_WRITTEN
from core.arranging.right_hand import NONE
from core.performance.in_a_row import in_a_row
from core.performance.schedule import Schedule, make_schedule
from core.performance.selection import BOTH_HANDS, Selection
from core.session.running_order import Segment
from core.session.timing import LessonSettings, Play
from core.song.errors import PlanError
from core.song.note import Hand
from core.song.song import Song
from core.song.wording import say, say_counted

USUAL_PAUSE: Final = LessonSettings().pause


def segment_schedule(song: Song, segment: Segment, pause: float = USUAL_PAUSE) -> Schedule:
    """Everything that a segment plays, with so many seconds between two plays.

    Raises PlanError for a segment in which nothing is played.
    """
    if not segment.play:
        raise PlanError(
            say("In “{segment}” nothing is played, only said; choose another segment.", segment=segment.title)
        )
    return in_a_row((schedule for play in segment.play for schedule in _times(song, play)), pause)


def segment_numbered(segments: Sequence[Segment], number: int) -> Segment:
    """A segment by its number; raises PlanError where there is none."""
    if not 1 <= number <= len(segments):
        raise PlanError(
            say_counted(
                "There is no segment {number}; the lesson has segments 1 to {count}.",
                "There is no segment {number}; the lesson has segments 1 to {count}.",
                len(segments),
                number=number,
            )
        )
    return segments[number - 1]


def _times(song: Song, play: Play) -> Iterator[Schedule]:
    first, last = song.part_at(play.start), song.part_at(play.end - 1)
    onset = song.part_onsets[first - 1]
    bar = song.metre_at(play.start).bar_ticks
    hands = BOTH_HANDS if play.hands == "both" else frozenset({Hand(play.hands)})
    for time in range(play.times):
        counted = play.count_in > 0 and time == 0
        selection = Selection(
            tuple(range(first, last + 1)),
            hands,
            count_in=counted,
            count_in_bars=max(1, round(play.count_in / bar)) if counted else 1,
            tempo=play.tempo,
            start=play.start - onset,
            end=play.end - onset,
            pattern=play.pattern or None,
            harmony=play.harmony or (NONE if play.plain else None),
            rhythm=AS_WRITTEN if play.plain else None,
            pedal=not play.plain,
            ornaments=not play.plain,
        )
        yield make_schedule(song, selection)

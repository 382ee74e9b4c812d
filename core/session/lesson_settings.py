"""How a teacher gives lessons: which segments, how often each is played and how fast, and how long things take."""

from __future__ import annotations

from typing import Final

from msgspec import Struct
from msgspec.structs import force_setattr

from core.arranging.embellishments import embellishment_named
from core.song.errors import DomainError
from core.song.phrase import KINDS_OF_SEGMENTS, Phrase, check_phrases
from core.song.wording import say, say_counted, to_say
from core.teaching.naming import Naming

SEGMENT_KINDS: Final = KINDS_OF_SEGMENTS
"""Everything that a running order may have, in its order."""
WHOLE, END = "whole", "end"
OPENINGS: Final = (WHOLE, END)
LONGEST_NAME: Final = 40


class LessonSettings(Struct, frozen=True):
    """How a teacher gives lessons.

    Attributes:
        speaking_rate: words a minute, 60 … 300.
        count_in_bars: bars counted before a play, 0 … 4.
        pause: seconds between two plays of the same thing, 0 … 10.
        right_hand_times: how often the right hand of a part is played, 1 … 8.
        left_hand_times: the same for the left hand.
        together_times: the same for both.
        run_through_times: how often a run-through is played.
        embellishment_times: how often an embellishment is played.
        first_play_percent: how fast the first of several plays is, in percent of the tempo taught at, 30 … 150;
            a thing that is played once is played at this tempo.
        last_play_percent: the same for the last of several; those between lie evenly between the two.
        opening: what the opening plays: ``whole``, the song as it goes, or ``end``, its last bars alone.
        segments: which kinds of segments there are, of `SEGMENT_KINDS` and in their order.
        by_difference: whether a part that comes back is taught by what is new about it.
        embellishments: names of the left-hand patterns and right-hand harmonies shown at the end, in order; a
            pattern of the teacher's own after ``own:``, shown where the song has it.
        naming: what notes and chords are called, by the name of a `Naming`.
        segment_phrases: what the teacher says in kinds of segments, with fields, in place of the computed words.
    """

    speaking_rate: float = 140.0
    count_in_bars: int = 1
    pause: float = 1.0
    right_hand_times: int = 2
    left_hand_times: int = 1
    together_times: int = 2
    run_through_times: int = 1
    embellishment_times: int = 1
    first_play_percent: int = 100
    last_play_percent: int = 100
    opening: str = WHOLE
    segments: tuple[str, ...] = SEGMENT_KINDS
    by_difference: bool = True
    embellishments: tuple[str, ...] = ("broken", "octaves")
    naming: str = Naming.LETTERS.value
    segment_phrases: tuple[Phrase, ...] = ()

    def __post_init__(self) -> None:
        checks: tuple[tuple[str, float, float, float], ...] = (
            (to_say("the speaking rate"), self.speaking_rate, 60, 300),
            (to_say("the count-in"), self.count_in_bars, 0, 4),
            (to_say("the pause between plays"), self.pause, 0, 10),
            (to_say("how often the right hand is played"), self.right_hand_times, 1, 8),
            (to_say("how often the left hand is played"), self.left_hand_times, 1, 8),
            (to_say("how often both hands are played"), self.together_times, 1, 8),
            (to_say("how often a run-through is played"), self.run_through_times, 1, 8),
            (to_say("how often an embellishment is played"), self.embellishment_times, 1, 8),
            (to_say("the tempo of the first play"), self.first_play_percent, 30, 150),
            (to_say("the tempo of the last play"), self.last_play_percent, 30, 150),
        )
        for field, value, least, most in checks:
            if not least <= value <= most:
                raise DomainError(
                    say(field), value, say("from {least} to {most}", least=f"{least:g}", most=f"{most:g}")
                )
        if self.opening not in OPENINGS:
            raise DomainError(say("what the opening plays"), self.opening, say("whole or end"))
        unknown = [kind for kind in self.segments if kind not in SEGMENT_KINDS]
        if unknown:
            raise DomainError(
                say("a kind of segment"), unknown[0], say("one of {names}", names=", ".join(SEGMENT_KINDS))
            )
        if not set(self.segments) - {"opening", "closing"}:
            raise DomainError(
                say("the segments of a lesson"), ", ".join(self.segments), say("at least one that teaches")
            )
        force_setattr(self, "segments", tuple(kind for kind in SEGMENT_KINDS if kind in self.segments))
        for name in self.embellishments:
            embellishment_named(name)
        Naming.named(self.naming)
        check_phrases(self.segment_phrases)

    @property
    def way_of_naming(self) -> Naming:
        """What notes and chords are called."""
        return Naming(self.naming)


class Preset(Struct, frozen=True):
    """A teacher's way of giving lessons, under a name of its own.

    Attributes:
        name: 1 to 40 letters, without blanks at its ends.
        settings: what it stands for.
    """

    name: str
    settings: LessonSettings

    def __post_init__(self) -> None:
        if not self.name.strip() or self.name != self.name.strip() or len(self.name) > LONGEST_NAME:
            expected = say_counted("1 to {count} letter", "1 to {count} letters", LONGEST_NAME)
            raise DomainError(say("the name of a preset"), self.name, expected)

"""How long things take, and how fast a part is taught.

A segment lasts as long as its words at the speaking rate, its playing with the count-in, and a pause between
plays: words x 60 / rate + (count-in + times x beats) x 60 / tempo + a second between plays. Beats and tempo are
in quarter notes. 140 words a minute is slow, clear speech (a television mean of 141 words a minute:
Jensema et al. 1996; conversation is at 140 to 180).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from core.session.analysis import part_effort
from core.song.errors import DomainError
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER

EASIEST_SHARE: Final = 0.8
"""A part without effort is taught at this share of the song's tempo."""
SHARE_LOST: Final = 0.45
"""How much of that share the greatest effort takes away."""
RUN_THROUGH_STEP: Final = 1 / 3
"""A run-through goes this share of the way from the slowest teaching tempo to the song's own."""
SLOWEST_TEACHING: Final = 30.0


@dataclass(frozen=True, slots=True)
class LessonSettings:
    """How a teacher gives lessons.

    Attributes:
        speaking_rate: words a minute, 60 … 300.
        count_in_bars: bars counted before a play, 0 … 4.
        pause: seconds between two plays of the same thing, 0 … 10.
        right_hand_times: how often the right hand of a part is played, 1 … 8.
        left_hand_times: the same for the left hand.
        together_times: the same for both.
        run_through_times: how often a run-through is played.
        embellishments: names of the left-hand patterns shown at the end, in order.
    """

    speaking_rate: float = 140.0
    count_in_bars: int = 1
    pause: float = 1.0
    right_hand_times: int = 2
    left_hand_times: int = 1
    together_times: int = 2
    run_through_times: int = 1
    embellishments: tuple[str, ...] = ("broken", "octaves")

    def __post_init__(self) -> None:
        checks: tuple[tuple[str, float, float, float], ...] = (
            ("the speaking rate", self.speaking_rate, 60, 300),
            ("the count-in", self.count_in_bars, 0, 4),
            ("the pause between plays", self.pause, 0, 10),
            ("how often the right hand is played", self.right_hand_times, 1, 8),
            ("how often the left hand is played", self.left_hand_times, 1, 8),
            ("how often both hands are played", self.together_times, 1, 8),
            ("how often a run-through is played", self.run_through_times, 1, 8),
        )
        for field, value, least, most in checks:
            if not least <= value <= most:
                raise DomainError(field, value, f"from {least:g} to {most:g}")


@dataclass(frozen=True, slots=True)
class Play:
    """One thing played in a segment.

    Attributes:
        start: ticks from the song's start.
        end: ticks from the song's start, after `start`.
        hands: ``right``, ``left`` or ``both``.
        tempo: quarter notes a minute.
        times: how often, in a row.
        count_in: ticks counted before the first time.
        pattern: name of the left-hand pattern in place of the parts' own, or empty for those.
    """

    start: int
    end: int
    hands: str
    tempo: float
    times: int = 1
    count_in: int = 0
    pattern: str = ""

    @property
    def seconds(self) -> float:
        """How long the playing takes, without pauses."""
        ticks = self.count_in + self.times * (self.end - self.start)
        return ticks / TICKS_PER_QUARTER * 60 / self.tempo


def spoken_seconds(say: Iterable[str], rate: float) -> float:
    """How long words take at a rate in words a minute."""
    return sum(len(text.split()) for text in say) * 60 / rate


def segment_seconds(say: Iterable[str], play: Sequence[Play], settings: LessonSettings) -> float:
    """How long a segment takes."""
    pauses = max(0, sum(one.times for one in play) - 1)
    playing = sum(one.seconds for one in play)
    return spoken_seconds(say, settings.speaking_rate) + playing + pauses * settings.pause


def teaching_tempo(song: Song, number: int) -> float:
    """How fast a part is taught, in whole quarter notes a minute: the teacher's choice, else by its effort."""
    own = song.part(number).teaching.tempo
    if own is not None:
        return own
    written = song.tempo_at(song.part_onsets[number - 1])
    share = EASIEST_SHARE - SHARE_LOST * part_effort(song, number).total / 100
    return min(written, max(SLOWEST_TEACHING, float(round(written * share))))


def run_through_tempo(written: float, teaching: Iterable[float]) -> float:
    """How fast parts are joined: between the slowest of their teaching tempos and the song's own.

    Args:
        written: the song's own tempo where the run-through begins, in quarter notes a minute.
        teaching: the teaching tempo of each part in it.
    """
    slowest = min(teaching)
    return float(round(slowest + (written - slowest) * RUN_THROUGH_STEP))

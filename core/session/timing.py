"""How long things take, and how fast a part is taught.

A segment lasts as long as its words at the speaking rate, its playing with the count-in, and a pause between
plays: words x 60 / rate + (count-in + times x beats) x 60 / tempo + a second between plays. Beats and tempo are
in quarter notes. 140 words a minute is slow, clear speech (a television mean of 141 words a minute:
Jensema et al. 1996; conversation is at 140 to 180).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from core.session.analysis import part_effort
from core.session.lesson_settings import LessonSettings
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER

EASIEST_SHARE: Final = 0.9
"""A part without effort is taught at this share of the song's tempo."""
SHARE_LOST: Final = 0.5
"""How much of that share the greatest effort takes away."""
FIRST_PART_SHARE: Final = 0.85
"""The first part is taught slower by this, because the hands do not know the song yet: a first part of two bars takes
about 75 seconds, later ones 45 to 60 (common practice)."""
RUN_THROUGH_STEP: Final = 1 / 3
"""A run-through goes this share of the way from the slowest teaching tempo to the song's own."""
SLOWEST_TEACHING: Final = 30.0
SLOWEST_PLAY: Final = 20.0
"""Quarter notes a minute; no share of a tempo goes below."""

__all__ = [
    "LessonSettings",
    "Play",
    "play_seconds",
    "plays_at",
    "run_through_tempo",
    "segment_seconds",
    "spoken_seconds",
    "teaching_tempo",
]


class Play(Struct, frozen=True):
    """One thing played in a segment.

    Attributes:
        start: ticks from the song's start.
        end: ticks from the song's start, after `start`.
        hands: ``right``, ``left`` or ``both``.
        tempo: quarter notes a minute.
        times: how often, in a row.
        count_in: ticks counted before the first time.
        pattern: name of the left-hand pattern in place of the parts' own, or empty for those.
        runs_on: whether it follows the play before without a pause, as the stretches of a song with repeats do.
        harmony: name of what lies under the melody in place of the parts' own, or empty for those.
        plain: whether the melody is played as it is written, with nothing under it and without pedal, whatever the
            parts have.
    """

    start: int
    end: int
    hands: str
    tempo: float
    times: int = 1
    count_in: int = 0
    pattern: str = ""
    runs_on: bool = False
    harmony: str = ""
    plain: bool = False

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
    return spoken_seconds(say, settings.speaking_rate) + play_seconds(play, settings)


def play_seconds(play: Sequence[Play], settings: LessonSettings) -> float:
    """How long the playing takes, with a pause between every two plays but those that run on."""
    pauses = max(0, sum(one.times for one in play) - 1) - sum(one.runs_on for one in play[1:])
    return sum(one.seconds for one in play) + pauses * settings.pause


def plays_at(play: Play, settings: LessonSettings) -> tuple[Play, ...]:
    """A play as often as it says, from the tempo of the first time to the tempo of the last.

    Where all times are equally fast it stays one play; else each time is one of its own, counted in at its tempo.
    """
    first, last = settings.first_play_percent, settings.last_play_percent
    steps = max(1, play.times - 1)
    percents = [first + (last - first) * place / steps for place in range(play.times)]
    tempos = [play.tempo if percent == 100 else _share(play.tempo, percent) for percent in percents]
    if len(set(tempos)) == 1:
        return (replace(play, tempo=tempos[0]),)
    return tuple(replace(play, tempo=tempo, times=1) for tempo in tempos)


def _share(tempo: float, percent: float) -> float:
    return max(min(tempo, SLOWEST_PLAY), float(round(tempo * percent / 100)))


def teaching_tempo(song: Song, number: int) -> float:
    """How fast a part is taught, in whole quarter notes a minute: the teacher's choice, else by its effort."""
    own = song.part(number).teaching.tempo
    if own is not None:
        return own
    written = song.tempo_at(song.part_onsets[number - 1])
    share = EASIEST_SHARE - SHARE_LOST * part_effort(song, number).total / 100
    if number == 1:
        share *= FIRST_PART_SHARE
    return min(written, max(SLOWEST_TEACHING, float(round(written * share))))


def run_through_tempo(written: float, teaching: Iterable[float]) -> float:
    """How fast parts are joined: between the slowest of their teaching tempos and the song's own.

    Args:
        written: the song's own tempo where the run-through begins, in quarter notes a minute.
        teaching: the teaching tempo of each part in it.
    """
    slowest = min(teaching)
    return float(round(slowest + (written - slowest) * RUN_THROUGH_STEP))

"""Playing effort from 0 to 100, with its causes and the moments that make it.

Method: the music is cut into windows of two bars, each starting a bar after the one before. In a window every
term of a cause is measured and put on a curve between two bounds, 0 up to the lower one and flattening from the
upper one on; a cause is the mean of its terms; the effort is the weighted sum of the causes. A passage takes the
90th percentile of its windows, because the hardest bars decide whether it can be played, and the maximum where it
has up to four bars. The percentile is always the figure of a real window, the next higher one.

The causes, their bounds and weights start from a formula fitted by hand on 147 piano pieces ordered by experts
(Kendall's tau-b .75 there, and .77 with the hardest window of each piece). What was changed on purpose:

* Adding something to play never makes a passage look easier: shares of notes became shares of beats, percentiles
  within a window became the largest value, and ranges are taken over a length of time.
* Terms flatten where they were cut off, so that hard pieces are still told apart: cut off, every concert piece has 90.
* Two terms are new: how many of the twelve notes occur, and keys held while the same hand strikes others.

Coordination follows piano pedagogy (common practice): hands that strike together in parallel are easier than one
hand moving over the other's held note, and hands that take turns or move apart are harder.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil
from typing import Final

from msgspec import Struct

from core.song.errors import DomainError
from core.song.metre import Bar
from core.song.note import Hand
from core.song.wording import say
from core.teaching.effort_moments import HandMoments, JointMoments, PlayedNote, blacks_after
from core.teaching.effort_reasons import explain
from core.teaching.effort_terms import Window, black_keys, measure

__all__ = ["Causes", "Effort", "PlayedNote", "Reason", "effort_moved", "effort_of"]

WEIGHTS: Final = {
    "reach": 0.22,
    "travel": 0.10,
    "black_keys": 0.18,
    "rhythm": 0.08,
    "coordination": 0.08,
    "memory": 0.18,
    "speed": 0.16,
}
"""Share of each cause in the effort; they add up to 1."""

WINDOW_BARS: Final = 2
SHORT_PASSAGE_BARS: Final = 4
"""Up to this many bars a passage takes its hardest window."""
HIGH_SHARE: Final = 0.9


class Causes(Struct, frozen=True):
    """What makes a passage hard, each from 0 to 100.

    Attributes:
        reach: how far and how full a hand is stretched.
        travel: how often, how far and how suddenly the hands change their position.
        black_keys: black keys, and changes between white and black.
        rhythm: short notes, onsets off the beat, notes held over the next beat.
        coordination: hands that do different things at once.
        memory: how many different things there are to remember.
        speed: how fast notes follow one another.
    """

    reach: float
    travel: float
    black_keys: float
    rhythm: float
    coordination: float
    memory: float
    speed: float


class Reason(Struct, frozen=True):
    """A moment that makes effort.

    Attributes:
        bar: the bar's number.
        tick: the moment, in the ticks of the notes that were passed in.
        text: in plain words, such as ``bar 5: the left hand spans a tenth``.
        cause: the name of the cause it belongs to.
    """

    bar: int
    tick: int
    text: str
    cause: str = ""


class Effort(Struct, frozen=True):
    """The effort of a passage.

    Attributes:
        total: 0..100.
        causes: of the whole passage, each taken over its windows as the total is.
        reasons: the hardest moment of each cause worth saying, the heaviest cause first.
        windows: effort of every window of two bars, in order.
    """

    total: float
    causes: Causes
    reasons: tuple[Reason, ...]
    windows: tuple[float, ...] = ()


NOTHING: Final = Effort(0.0, Causes(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0), (), ())


def effort_of(notes: Sequence[PlayedNote], tempo_quarters_per_minute: float, bars: Sequence[Bar]) -> Effort:
    """The effort of playing notes.

    Args:
        notes: every note of both hands, in any order; onsets and durations in ticks.
        tempo_quarters_per_minute: more than 0.
        bars: the bars that the notes lie in, in order, counted in the same ticks. Notes outside them are left out.

    Returns:
        Nothing but zeros for a passage without notes.

    Raises:
        DomainError: for a tempo of 0 or less.
    """
    windows = _windows_of(notes, tempo_quarters_per_minute, bars)
    if not windows:
        return NOTHING
    measured = [measure(window) for window in windows]
    totals = [_total(causes) for causes in measured]
    short = _is_short(bars)
    causes = {name: 100 * _summary([window[name] for window in measured], short) for name in WEIGHTS}
    return Effort(_summary(totals, short), Causes(**causes), _reasons(windows, measured, bars), tuple(totals))


def effort_moved(
    notes: Sequence[PlayedNote], tempo_quarters_per_minute: float, bars: Sequence[Bar], semitones: Sequence[int]
) -> tuple[tuple[float, Causes], ...]:
    """Total and causes of the effort of notes moved up by each of several intervals, without counting all anew.

    Only black keys tell one key from another. Whether the keyboard has the notes is not looked at.

    Args:
        notes: as for `effort_of`.
        tempo_quarters_per_minute: more than 0.
        bars: as for `effort_of`.
        semitones: the intervals, negative ones down.

    Raises:
        DomainError: for a tempo of 0 or less.
    """
    windows = _windows_of(notes, tempo_quarters_per_minute, bars)
    if not windows:
        return tuple((NOTHING.total, NOTHING.causes) for _ in semitones)
    measured = [measure(window) for window in windows]
    short = _is_short(bars)
    causes = {name: 100 * _summary([window[name] for window in measured], short) for name in WEIGHTS}
    found: list[tuple[float, Causes]] = []
    for interval in semitones:
        blacks = blacks_after(interval)
        moved = [
            {**known, "black_keys": black_keys(window, blacks)} for known, window in zip(measured, windows, strict=True)
        ]
        causes["black_keys"] = 100 * _summary([window["black_keys"] for window in moved], short)
        found.append((_summary([_total(window) for window in moved], short), Causes(**causes)))
    return tuple(found)


def _windows_of(notes: Sequence[PlayedNote], tempo: float, bars: Sequence[Bar]) -> list[Window]:
    if tempo <= 0:
        raise DomainError(say("a tempo"), tempo, say("more than 0 quarter notes a minute"))
    if not notes or not bars:
        return []
    right = HandMoments.of([note for note in notes if note.hand is Hand.RIGHT], bars)
    left = HandMoments.of([note for note in notes if note.hand is Hand.LEFT], bars)
    joint = JointMoments.of(right, left)
    return [Window.between(right, left, joint, start, end, tempo, beats) for start, end, beats in _windows(bars)]


def _total(causes: dict[str, float]) -> float:
    return 100 * sum(weight * causes[name] for name, weight in WEIGHTS.items())


def _is_short(bars: Sequence[Bar]) -> bool:
    return sum(bar.number > 0 for bar in bars) <= SHORT_PASSAGE_BARS


def _windows(bars: Sequence[Bar]) -> list[tuple[int, int, float]]:
    """Start, end and beats of each window; a pick-up shares the window of the bars it leads into."""
    first = 1 if len(bars) > 1 and bars[0].number == 0 else 0
    last = max(first, len(bars) - WINDOW_BARS)
    found: list[tuple[int, int, float]] = []
    for start in range(first, last + 1):
        within = bars[0 if start == first else start : start + WINDOW_BARS]
        beats = sum((bar.end - bar.onset) / bar.metre.beat_ticks for bar in within)
        found.append((within[0].onset, within[-1].end, beats))
    return found


def _summary(values: Sequence[float], short: bool) -> float:
    """The maximum of a short passage, else the 90th percentile, of two neighbours the higher."""
    ordered = sorted(values)
    return ordered[-1] if short else ordered[ceil(HIGH_SHARE * (len(ordered) - 1))]


def _reasons(
    windows: Sequence[Window], measured: Sequence[dict[str, float]], bars: Sequence[Bar]
) -> tuple[Reason, ...]:
    """For each cause worth saying the moment that tells it, in the window where it is largest."""
    found: list[tuple[float, Reason]] = []
    for name, weight in WEIGHTS.items():
        hardest = max(range(len(windows)), key=lambda index: measured[index][name])
        told = explain(name, windows[hardest])
        if told is None:
            continue
        tick, text = told
        bar = next((bar for bar in bars if tick < bar.end), bars[-1])
        placed = (
            say("bar {bar}: {moment}", bar=bar.number, moment=text)
            if bar.number
            else say("pick-up: {moment}", moment=text)
        )
        found.append((weight * measured[hardest][name], Reason(bar.number, tick, placed, name)))
    found.sort(key=lambda pair: -pair[0])
    return tuple(reason for _, reason in found)

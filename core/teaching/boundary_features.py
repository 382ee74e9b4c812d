"""What a melody shows at each note about whether a phrase begins there.

Time is counted in bars where the metre matters and in quarters where lengths are compared. Everything is worked
out for all notes at once. Places before the first and after the last note take `OUTSIDE`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from core.song.metre import Bar
from core.song.time import TICKS_PER_QUARTER
from core.teaching.parallels import EXACT, RHYTHM, SHAPE, Likeness, likenesses
from core.teaching.trees import Floats

OUTSIDE: Final = 9.0
SHORTEST: Final = 1 / 64
"""Quarters; a shorter wait between notes counts as this."""
ARTICULATION: Final = 1 / 16
"""Quarters; a gap up to this, beyond what the melody usually leaves between notes, is no rest."""
FINE: Final = 1e-5
"""Bars; places are rounded to this, so that equal places compare as equal."""
NEAR: Final = 0.01
AIM: Final = 0.13
"""Bars: how exactly a distance in bars is met."""
LONGEST_ENDING: Final = 8
"""Notes before a place that are compared with the song's last ones."""
PLACES: Final = 48
"""Places in a bar for counting periods."""


class Line(Struct, frozen=True):
    """A one-line melody in arrays.

    Attributes:
        time: place of each onset in bars.
        wait: quarters from each onset to the next; of the last note its length.
        length: quarters that each note sounds.
        rest: quarters of silence before each note.
        pitch: MIDI numbers.
        end: where the last note ends, in bars.
        bar: quarters of the first bar's metre.
        beat: quarters of its beat.
        parallels: which passages are alike.
    """

    time: Floats
    wait: Floats
    length: Floats
    rest: Floats
    pitch: Floats
    end: float
    bar: float
    beat: float
    parallels: tuple[Likeness, ...]

    @classmethod
    def of(cls, notes: Sequence[tuple[int, int, int]], bars: Sequence[Bar]) -> Line:
        """The arrays of a melody of at least one note: onset and duration in ticks, MIDI number."""
        onset, duration, pitch = np.asarray(notes, dtype=np.int64).T
        time, last_bar = _bar_time(onset, bars)
        wait = np.append(np.diff(onset), duration[-1]) / TICKS_PER_QUARTER
        length = duration / TICKS_PER_QUARTER
        gap = np.maximum(wait - length, 0.0)
        usual = float(np.median(gap / np.maximum(wait, SHORTEST)))
        rest = np.where(gap - usual * wait > ARTICULATION, gap - usual * wait, 0.0)
        wait = np.maximum(wait, SHORTEST)
        metre = bars[0].metre
        return cls(
            time,
            wait,
            np.maximum(length, SHORTEST),
            np.concatenate(([0.0], rest[:-1])),
            pitch.astype(np.float64),
            float(time[-1] + duration[-1] / last_bar),
            metre.bar_ticks / TICKS_PER_QUARTER,
            metre.beat_ticks / TICKS_PER_QUARTER,
            likenesses(wait, pitch, time),
        )


def _bar_time(onset: NDArray[np.int64], bars: Sequence[Bar]) -> tuple[Floats, float]:
    """Onsets counted in bars (2.5 is the middle of bar 2), and the ticks of the bar that holds the last."""
    starts = np.array([bar.onset for bar in bars])
    lengths = np.array([bar.metre.bar_ticks for bar in bars])
    numbers = np.array([bar.number for bar in bars])
    holding = np.clip(np.searchsorted(starts, onset, side="right") - 1, 0, len(bars) - 1)
    into = onset - starts[holding]
    if bars[0].number == 0:
        into = np.where(holding == 0, lengths[0] - bars[0].duration + into, into)
    time = numbers[holding] + into / lengths[holding]
    return np.round(time / FINE) * FINE, float(lengths[holding[-1]])


def shifted(values: Floats, by: int, outside: float = OUTSIDE) -> Floats:
    """Values of the note `by` places before (after, where negative)."""
    result = np.full(len(values), outside)
    if by > 0:
        result[by:] = values[:-by]
    elif by < 0:
        result[:by] = values[-by:]
    else:
        result[:] = values
    return result


def from_grid(places: Floats, step: float) -> Floats:
    """How far each place is from the nearest multiple of a step."""
    rest = places % step
    return np.asarray(np.minimum(rest, step - rest), dtype=np.float64)


def local_features(line: Line) -> dict[str, Floats]:
    """Every feature by its name, one figure for each note."""
    return {**_lengths(line), **_pitches(line), **_places(line), **_likeness(line)}


def _lengths(line: Line) -> dict[str, Floats]:
    """Waits and rests, against the melody's own."""
    count = len(line.wait)
    wait = np.log2(line.wait)
    against_mean = wait - np.log2(line.wait.mean())
    longest = np.sort(line.wait)[-max(1, count // 16) :].mean()
    before = shifted(wait, 1)
    around = np.sort(np.lib.stride_tricks.sliding_window_view(np.pad(wait, 5, constant_values=-OUTSIDE), 9), axis=1)
    rests = np.count_nonzero(line.rest)
    features = {f"wait {place}": shifted(against_mean, place) for place in (3, 2, 1, 0, -1, -2)}
    return features | {
        "wait 1 over wait 2": before - shifted(wait, 2),
        "wait 0 over wait 1": wait - before,
        "rank of the wait before": shifted(
            np.searchsorted(np.sort(line.wait), line.wait, side="right") / count, 1, 0.0
        ),
        "wait before over the longest": shifted(wait - np.log2(longest), 1, 0.0),
        "wait before over its neighbours": shifted(wait - around[1:-1, -2], 1, 0.0),
        "wait before in bars": shifted(line.wait, 1, 0.0) / line.bar,
        "length before": shifted(np.log2(line.length) - np.log2(line.wait.mean()), 1),
        "rest": line.rest,
        "rest in bars": line.rest / line.bar,
        "rests a bar": np.full(count, rests / max(1.0, line.end - line.time[0])),
    }


def _pitches(line: Line) -> dict[str, Floats]:
    """Steps and leaps, and where the notes lie."""
    step = np.concatenate(([0.0], np.diff(line.pitch)))
    before, after = np.abs(shifted(step, 1, 0.0)), np.abs(shifted(step, -1, 0.0))
    return {
        "step before": shifted(step, 1, 0.0),
        "step": step,
        "size of the step": np.abs(step),
        "step against its neighbours": np.abs(step) - (before + after) / 2,
        "usual step": np.full(len(step), np.abs(step).sum() / max(1, len(step) - 1)),
        "height before": shifted(line.pitch - line.pitch.mean(), 1, 0.0),
        "note before against the last": shifted(line.pitch - line.pitch[-1], 1, 99.0),
    }


def _places(line: Line) -> dict[str, Floats]:
    """Places in the metre, in the song, and against its first note and its end."""
    time, count = line.time, len(line.time)
    phase = np.round(time - np.floor(time + FINE / 2), 5)
    since, left = time - time[0], line.end - time
    total = float(line.end - time[0])
    return {
        "phase": phase,
        "phase before": shifted(phase, 1, -1.0),
        "first phase": np.full(count, phase[0]),
        "bars since the start": since,
        "bars left": left,
        "since within 1 bar": (since + FINE) % 1,
        "since within 2 bars": (since + FINE) % 2,
        "since within 4 bars": (since + FINE) % 4,
        "off 1-bar grid": from_grid(since, 1),
        "off 2-bar grid": from_grid(since, 2),
        "off 4-bar grid": from_grid(since, 4),
        "off 2-bar grid from the end": from_grid(left, 2),
        "length off 2 bars": np.full(count, from_grid(np.array([total]), 2)[0]),
        "length off 4 bars": np.full(count, from_grid(np.array([total]), 4)[0]),
        "off the beat": from_grid(phase * line.bar, line.beat),
        "bar lines crossed": np.floor(time + FINE) - shifted(np.floor(time + FINE), 1, 0.0),
        "quarters in a bar": np.full(count, line.bar),
        "notes a bar": np.full(count, count / total),
    }


def _likeness(line: Line) -> dict[str, Floats]:
    """How far the music from here on, or up to here, repeats what is elsewhere."""
    alike = line.parallels
    return {
        "repeats in pitch": alike[EXACT].fresh,
        "repeats in rhythm": alike[RHYTHM].fresh,
        "repeats in shape": alike[SHAPE].fresh,
        "rhythm of the start": alike[RHYTHM].with_start,
        "shape of the start": alike[SHAPE].with_start,
        "rhythm of the end": _like_the_end(line, with_pitch=False),
        "pitch of the end": _like_the_end(line, with_pitch=True),
    }


def _like_the_end(line: Line, *, with_pitch: bool) -> Floats:
    """How many notes before each place are like the song's last ones; the last wait itself is not compared."""
    count = len(line.wait)
    total, going = np.zeros(count), np.ones(count, dtype=bool)
    going[0] = False
    for back in range(min(LONGEST_ENDING, count - 1)):
        here = slice(0, count - 1 - back)
        if back:
            going[back + 1 :] &= line.wait[here] == line.wait[-1 - back]
        if with_pitch:
            going[back + 1 :] &= line.pitch[here] == line.pitch[-1 - back]
        going[: back + 1] = False
        total += going
    return total


def passed_on(line: Line, likely: Floats) -> dict[str, Floats]:
    """What first guesses about all notes say about each.

    Args:
        line: the melody.
        likely: a first probability for each note that a phrase begins there, 1 for the first note.
    """
    return {**_neighbours(line, likely), **_periods(line, likely), **_alike(line, likely), **_phrases(line, likely)}


def _neighbours(line: Line, likely: Floats) -> dict[str, Floats]:
    """The guesses for the notes around, and for those so many bars away."""
    time = line.time
    clipped = np.clip(likely, 1e-3, 1 - 1e-3)
    odds: Floats = np.log(clipped / (1 - clipped))
    features: dict[str, Floats] = {f"odds {place}": shifted(odds, place, -OUTSIDE) for place in (3, 2, 1, 0, -1, -2)}
    for width in (0.5, 1.0):
        before = _largest_within(time, likely, -width - NEAR, -NEAR / 2)
        after = _largest_within(time, likely, NEAR / 2, width + NEAR)
        features[f"best rival within {width} bars"] = np.maximum(before, after)
    for bars in (-4, -2, -1, 1, 2, 4):
        features[f"likely {bars} bars away"] = _largest_within(time, likely, bars - AIM, bars + AIM)
    order = np.argsort(np.argsort(likely, kind="stable"), kind="stable")
    return features | {"rank": order / len(likely)}


def _largest_within(time: Floats, likely: Floats, start: float, end: float) -> Floats:
    """The largest guess among notes from one distance to another; 0 where there are none."""
    first = np.searchsorted(time, time + start, side="left")
    last = np.searchsorted(time, time + end, side="right")
    edges = np.stack((first, np.maximum(last, first)), axis=1).ravel()
    largest = np.maximum.reduceat(np.append(likely, 0.0), edges)[::2]
    return np.where(last > first, largest, 0.0)


def _periods(line: Line, likely: Floats) -> dict[str, Floats]:
    """The mean guess for the moments a whole number of periods away."""
    place = np.round(line.time * PLACES).astype(np.int64)
    features: dict[str, Floats] = {}
    for bars in (1, 2, 4, 8):
        period = bars * PLACES
        sums = np.bincount(place % period, weights=likely, minlength=period)[place % period] - likely
        moments = np.floor((place - place[0]) / period) + np.floor((place[-1] - place) / period)
        features[f"mean every {bars} bars"] = sums / np.maximum(1, moments)
    return features


def _alike(line: Line, likely: Floats) -> dict[str, Floats]:
    """The guesses for places that go on in the same way."""
    features: dict[str, Floats] = {}
    for name, kind in (("rhythm", RHYTHM), ("shape", SHAPE), ("pitch", EXACT)):
        mean, largest = line.parallels[kind].elsewhere(likely)
        features[f"mean of like {name}"], features[f"best of like {name}"] = mean, largest
    return features


def _phrases(line: Line, likely: Floats) -> dict[str, Floats]:
    """Lengths of the phrases that the first guesses make, and how sure they are as a whole."""
    time, count = line.time, len(line.time)
    starts = time[likely > 0.5]
    before = np.searchsorted(starts, time, side="left")
    since = np.where(before > 0, time - starts[np.maximum(before - 1, 0)], OUTSIDE)
    edges = np.append(starts, line.end)
    until = edges[np.searchsorted(starts, time, side="right")] - time
    usual = float(np.median(np.diff(edges)))
    strong = np.sort(likely[1:])[-max(1, count // 12) :]
    return {
        "phrase before": since,
        "phrase after": until,
        "both phrases": since + until,
        "phrase before over the usual": since / usual,
        "phrase after over the usual": until / usual,
        "usual phrase": np.full(count, usual),
        "phrases a bar": np.full(count, likely.sum() / max(0.5, line.end - time[0])),
        "strongest": np.full(count, strong.mean() if len(strong) else 0.0),
    }

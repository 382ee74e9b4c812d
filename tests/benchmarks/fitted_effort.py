"""The formula that the effort started from, as it was fitted, to be compared with what became of it.

It was fitted by hand on 147 piano pieces ordered by experts, where it agrees with their order by a Kendall tau-b of
.75. Shares of notes, percentiles within a window and terms cut off at their bounds are as there; see
`core.teaching.effort` for what was changed and why.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from itertools import chain, pairwise
from math import log2
from typing import Final

import numpy as np

from core.song.metre import Bar
from core.song.note import Hand
from core.song.time import TICKS_PER_QUARTER
from core.teaching.effort import SHORT_PASSAGE_BARS, WEIGHTS, PlayedNote
from core.teaching.effort_moments import BLACK, FRAME, TOGETHER
from core.teaching.effort_terms import jump

BOUNDS: Final[dict[str, tuple[tuple[float, float], ...]]] = {
    "reach": ((0, 12), (4, 19), (0, 2)),
    "travel": ((0, 2), (0, 16), (0, 0.5)),
    "black_keys": ((0, 0.6), (0, 0.8), (0, 4)),
    "rhythm": ((-1.5, 2), (0, 0.5), (0, 0.2)),
    "coordination": ((0, 1.6), (0, 0.8), (0, 0.5)),
    "memory": ((0.5, 8), (1, 8)),
    "speed": ((0.5, 5.5), (1, 10), (0.5, 6)),
}
NEVER: Final = -9.0
"""For the logarithm of a time between onsets where there is none."""

Group = tuple[int, list[PlayedNote]]


def fitted_effort(notes: Sequence[PlayedNote], tempo: float, bars: Sequence[Bar]) -> float:
    """The effort by the fitted formula, 0 to 100, for the arguments of `core.teaching.effort.effort_of`."""
    ordered = sorted(notes, key=lambda note: note.onset)
    onsets = [note.onset for note in ordered]
    totals = []
    for start, end in _windows(bars):
        within = ordered[bisect_left(onsets, start) : bisect_left(onsets, end)]
        totals.append(_window_effort(within, start, end, tempo, bars) if within else 0.0)
    return max(totals) if len(bars) <= SHORT_PASSAGE_BARS else float(np.percentile(totals, 90))


def _windows(bars: Sequence[Bar]) -> list[tuple[int, int]]:
    first = 1 if len(bars) > 1 and bars[0].number == 0 else 0
    last = max(first, len(bars) - 2)
    return [
        (bars[0 if place == first else place].onset, bars[min(place + 2, len(bars)) - 1].end)
        for place in range(first, last + 1)
    ]


def _window_effort(notes: Sequence[PlayedNote], start: int, end: int, tempo: float, bars: Sequence[Bar]) -> float:
    quarters = (end - start) / TICKS_PER_QUARTER
    seconds = quarters * 60 / tempo
    hands = [hand for hand in ([note for note in notes if note.hand is hand] for hand in Hand) if hand]
    within = [bar for bar in bars if bar.end > start and bar.onset < end]
    measures = [_hand(hand, within) for hand in hands]

    def larger(name: str) -> float:
        return max(measure[name] for measure in measures)

    def both(name: str) -> float:
        return sum(measure[name] for measure in measures)

    joint = _groups(notes)
    waits = [(after - before) / TICKS_PER_QUARTER for (before, _), (after, _) in pairwise(joint)]
    states = [tuple(sorted((note.hand.value, note.midi) for note in struck)) for _, struck in joint]
    phrases = _phrases(states)
    independent, contrary, together = _independence(joint, notes)
    values: dict[str, tuple[float, ...]] = {
        "reach": (larger("span"), larger("range"), larger("held")),
        "travel": (both("changes") / seconds, both("distance") / seconds, larger("jumps")),
        "black_keys": (larger("black"), larger("alternation"), len({note.midi % 12 for note in notes} & BLACK)),
        "rhythm": (-log2(min(waits)) if waits else NEVER, larger("off_beat"), larger("carried")),
        "coordination": (
            independent / quarters,
            (len(joint) - max(measure["onsets"] for measure in measures)) / quarters,
            contrary / max(1, together),
        ),
        "memory": (phrases * log2(phrases) / quarters, 4 * len(set(states)) / quarters),
        "speed": (
            len(joint) / seconds,
            len(notes) / seconds,
            _ninety_fifth([tempo / 60 / wait for wait in waits]),
        ),
    }
    return 100 * sum(weight * _cause(values[name], BOUNDS[name]) for name, weight in WEIGHTS.items())


def _cause(values: Sequence[float], bounds: Sequence[tuple[float, float]]) -> float:
    terms = [
        min(1.0, max(0.0, (value - low) / (high - low))) for value, (low, high) in zip(values, bounds, strict=True)
    ]
    return sum(terms) / len(terms)


def _ninety_fifth(values: Sequence[float]) -> float:
    return float(np.percentile(values, 95)) if values else 0.0


def _groups(notes: Sequence[PlayedNote]) -> list[Group]:
    found: dict[int, list[PlayedNote]] = {}
    for note in notes:
        found.setdefault(note.onset, []).append(note)
    return sorted(found.items())


def _hand(notes: Sequence[PlayedNote], bars: Sequence[Bar]) -> dict[str, float]:
    groups = _groups(notes)
    down = [
        {note.midi for note in notes if note.onset == onset or note.onset < onset < note.onset + note.duration}
        for onset, _ in groups
    ]
    keys = [[note.midi for note in struck] for _, struck in groups]
    fours = [list(chain(*keys[place : place + 4])) for place in range(max(1, len(keys) - 3))]
    middles = [(min(struck) + max(struck)) / 2 for struck in keys]
    colours = [sum(key % 12 in BLACK for key in struck) * 2 > len(struck) for struck in keys]
    changes, distance = _position_changes(keys)
    off_beat, carried = _off_the_beat(groups, bars)
    moves = max(1, len(groups) - 1)
    return {
        "onsets": len(groups),
        "span": _ninety_fifth([max(held) - min(held) for held in down]),
        "range": _ninety_fifth([max(four) - min(four) for four in fours]),
        "held": _ninety_fifth([len(held) - 1 for held in down]),
        "changes": changes,
        "distance": distance,
        "jumps": sum(jump(there - here) for here, there in pairwise(middles)) / len(groups),
        "black": sum(note.midi % 12 in BLACK for note in notes) / len(notes),
        "alternation": sum(here != there for here, there in pairwise(colours)) / moves,
        "off_beat": off_beat / len(groups),
        "carried": carried / len(groups),
    }


def _position_changes(keys: Sequence[Sequence[int]]) -> tuple[int, float]:
    low, high = min(keys[0]), max(keys[0])
    changes, distance = 0, 0.0
    for struck in keys[1:]:
        if max(high, *struck) - min(low, *struck) <= FRAME:
            low, high = min(low, *struck), max(high, *struck)
            continue
        changes += 1
        distance += abs(min(struck) + max(struck) - low - high) / 2
        low, high = min(struck), max(struck)
    return changes, distance


def _off_the_beat(groups: Sequence[Group], bars: Sequence[Bar]) -> tuple[int, int]:
    off_beat = carried = 0
    for onset, struck in groups:
        bar = next((bar for bar in bars if onset < bar.end), bars[-1])
        beat = bar.metre.beat_ticks
        into = (onset - (bar.end if bar.number == 0 else bar.onset)) % beat
        if into > TOGETHER and beat - into > TOGETHER:
            off_beat += 1
            carried += max(note.onset + note.duration for note in struck) > onset - into + beat + TOGETHER
    return off_beat, carried


def _independence(joint: Sequence[Group], notes: Sequence[PlayedNote]) -> tuple[int, int, int]:
    """Independent strikes, contrary moves, and joint moves."""
    independent = contrary = together = 0
    last: dict[Hand, int] = {}
    for onset, struck in joint:
        here = {
            hand: pick(keys)
            for hand, pick in ((Hand.RIGHT, max), (Hand.LEFT, min))
            if (keys := [note.midi for note in struck if note.hand is hand])
        }
        if len(here) == 1:
            independent += any(
                note.hand not in here and note.onset < onset < note.onset + note.duration for note in notes
            )
        elif len(last) > 1:
            together += 1
            motion = 1
            for hand, key in here.items():
                motion *= (key > last[hand]) - (key < last[hand])
            independent += motion < 1
            contrary += motion < 0
        last.update(here)
    return independent, contrary, together


def _phrases(states: Sequence[object]) -> int:
    """Phrases of the Lempel-Ziv parsing of 1978."""
    known: dict[tuple[int, object], int] = {}
    phrase = 0
    for state in states:
        after = known.get((phrase, state))
        if after is None:
            known[phrase, state] = len(known) + 1
            phrase = 0
        else:
            phrase = after
    return len(known) + (phrase != 0)

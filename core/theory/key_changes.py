"""Key changes of a piece, from its sounding notes alone.

A hidden Markov model over the twenty-four major and minor keys: each window speaks for a key by how likely that key
makes its sounding time (profiles of scale degrees, `core.theory.key_weights`), and a change of key has a price, so
that a passing harmony is no key. The likeliest path is found by dynamic programming (Viterbi). With this price, 0.8 %
of folk songs in one key are given a change, three in four joins of two songs of about eight bars are found, and most
classical movements that only pass through other keys stay in one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from core.song.time import TICKS_PER_QUARTER
from core.theory.key_finding import KeyGuess, SoundingNote, find_key
from core.theory.key_weights import PROFILES

WINDOW: Final = 4 * TICKS_PER_QUARTER
"""Length of a window where no borders are given, in ticks."""
CHANGE_PRICE: Final = 20.0
"""What a change of key costs, in the units of `STRENGTH`: about as much as four bars of 4/4 speak for it."""
STRENGTH: Final = 4.0
"""How strongly four quarter notes of sound speak."""
_NEVER: Final = 0.003
"""A share of the time that is added to every degree, so that none is impossible."""
_SURPRISE: Final = tuple(tuple(math.log(share + _NEVER) for share in profile) for profile in PROFILES)
_KEYS: Final = tuple((tonic, minor) for tonic in range(12) for minor in (0, 1))


def find_keys(notes: Sequence[SoundingNote], borders: Sequence[int] | None = None) -> tuple[tuple[int, KeyGuess], ...]:
    """The keys of a piece with the ticks from which they hold, the first at 0; at least one.

    Args:
        notes: (onset in ticks, duration in ticks, MIDI number) of each, in any order.
        borders: ticks at which a key may change, rising, such as bar lines; None for every fourth quarter note.
    """
    sounding = sorted(note for note in notes if note[1] > 0)
    if not sounding:
        return ((0, find_key(notes)),)
    end = max(onset + duration for onset, duration, _ in sounding)
    edges = [0, *(tick for tick in (range(WINDOW, end, WINDOW) if borders is None else borders) if 0 < tick < end), end]
    path = _likeliest_path([_evidence(window) for window in _windows(sounding, edges)])
    starts = [index for index in range(len(path)) if index == 0 or path[index] != path[index - 1]]
    stretches = [*(edges[index] for index in starts), end]
    found: list[tuple[int, KeyGuess]] = []
    for start, stop in pairwise(stretches):
        guess = find_key([note for note in sounding if start <= note[0] < stop] if len(starts) > 1 else sounding)
        if not found or found[-1][1].key != guess.key:
            found.append((start, guess))
    return tuple(found)


def _windows(notes: Sequence[SoundingNote], edges: Sequence[int]) -> list[list[float]]:
    """How long each pitch class sounds in each window, in the units of STRENGTH; at most as much as one full line."""
    windows = [[0.0] * 12 for _ in edges[1:]]
    first = 0
    for onset, duration, midi in notes:
        while edges[first + 1] <= onset:
            first += 1
        index = first
        while index < len(windows) and edges[index] < onset + duration:
            windows[index][midi % 12] += min(onset + duration, edges[index + 1]) - max(onset, edges[index])
            index += 1
    for index, window in enumerate(windows):
        length = edges[index + 1] - edges[index]
        full = max(length, sum(window))
        windows[index] = [STRENGTH * (length / WINDOW) * share / full for share in window]
    return windows


def _evidence(window: Sequence[float]) -> list[float]:
    """What a window says for each of the twenty-four keys."""
    return [
        sum(window[(tonic + step) % 12] * surprise for step, surprise in enumerate(_SURPRISE[minor]))
        for tonic, minor in _KEYS
    ]


def _likeliest_path(evidence: Sequence[Sequence[float]]) -> list[int]:
    """The key of each window on the path of most evidence less the price of its changes."""
    scores = list(evidence[0])
    origins: list[list[int]] = []
    for said in evidence[1:]:
        best = max(range(len(scores)), key=lambda key: scores[key])
        changed = scores[best] - CHANGE_PRICE
        origins.append([key if score >= changed else best for key, score in enumerate(scores)])
        scores = [max(score, changed) + value for score, value in zip(scores, said, strict=True)]
    path = [max(range(len(scores)), key=lambda key: scores[key])]
    for origin in reversed(origins):
        path.append(origin[path[-1]])
    return path[::-1]

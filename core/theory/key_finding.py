"""The key of a tune or a piece, from its sounding notes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from core.song.key import Key, Mode
from core.song.pitch import NoteName

# Aarden–Essen-like profiles of scale degrees come later; these are Krumhansl & Kessler 1982 (via Krumhansl 1990).
_MAJOR: Final = (6.35, 2.23, 3.48, 2.33, 4.38, 4.09, 2.52, 5.19, 2.39, 3.66, 2.29, 2.88)
_MINOR: Final = (6.33, 2.68, 3.52, 5.38, 2.60, 3.53, 2.54, 4.75, 3.98, 2.69, 3.34, 3.17)


@dataclass(frozen=True, slots=True)
class KeyGuess:
    """A key, and how likely it is to be right, 0 … 1."""

    key: Key
    confidence: float


def find_key(notes: Sequence[tuple[int, int, int]]) -> KeyGuess:
    """The key of notes given as (onset in ticks, duration in ticks, MIDI number)."""
    weights = [0.0] * 12
    for _, duration, midi in notes:
        weights[midi % 12] += max(duration, 1)
    if not notes:
        return KeyGuess(Key(NoteName("C")), 0.0)
    last = max(notes, key=lambda note: (note[0], -note[2]))[2] % 12
    scores: list[tuple[float, int, Mode]] = []
    total = sum(weights)
    for mode, profile in ((Mode.MAJOR, _MAJOR), (Mode.MINOR, _MINOR)):
        mean = sum(profile) / 12
        for tonic in range(12):
            score = sum(weights[(tonic + step) % 12] / total * (profile[step] - mean) for step in range(12))
            scores.append((score + (0.7 if tonic == last else 0.0), tonic, mode))
    best = max(scores, key=lambda entry: entry[0])
    share = 1 / sum(math.exp(4 * (score - best[0])) for score, _, _ in scores)
    return KeyGuess(key_on(best[1], best[2]), share)


def key_on(pitch_class: int, mode: Mode) -> Key:
    """The key on a key of the keyboard with the fewest signs (six flats rather than six sharps)."""
    names = [name for name in map(NoteName.at_fifths, range(-15, 20)) if name.pitch_class == pitch_class % 12]
    keys = [Key(name, mode) for name in names]
    return min(keys, key=lambda key: (abs(key.fifths), key.fifths))

"""What sounds around each note, counted key by key.

Notes are added up along time once for each of the 88 keys, so that what is struck between any two moments is one
difference of two rows, however many notes lie between. Times are in seconds, pitches in semitones against the
note's own.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from core.song.pitch import HIGHEST_PIANO_KEY, LOWEST_PIANO_KEY
from core.teaching.trees import Floats

KEYS: Final = HIGHEST_PIANO_KEY - LOWEST_PIANO_KEY + 1
TURNS: Final = 4
"""How often the two middles are drawn to the notes nearer to them."""

Integers = NDArray[np.intp]
Singles = NDArray[np.float32]


def added_up(key: Integers, weight: Floats) -> Singles:
    """Weights of notes added up along time on each key; one row more than there are notes, the first all 0."""
    table = np.zeros((len(key) + 1, KEYS), dtype=np.float32)
    table[np.arange(1, len(key) + 1), key] = weight
    return np.cumsum(table, axis=0, dtype=np.float32)


LowToHigh = tuple[Singles, Singles]
"""Counts and MIDI numbers of notes added up along time and, within each moment, from the lowest key up."""


def low_to_high(struck: Singles) -> LowToHigh:
    """Counts of notes, added up along time on each key, added up over the keys too; whole numbers, so exact."""
    numbers = np.arange(LOWEST_PIANO_KEY, HIGHEST_PIANO_KEY + 1, dtype=np.float32)
    return np.cumsum(struck, axis=1), np.cumsum(struck * numbers, axis=1)


class Window(Struct, frozen=True):
    """The notes struck between two moments about each note.

    Attributes:
        pitch: MIDI number of each note in question.
        counts: for each of them, how many notes lie in its window up to each key, from the lowest.
        sums: the MIDI numbers of those notes added up, up to each key.
    """

    pitch: Floats
    counts: Singles
    sums: Singles

    @classmethod
    def of(cls, low_to_high: LowToHigh, pitch: Floats, first: Integers, last: Integers) -> Window:
        """The windows from the notes `first` up to but not with `last`."""
        counts, sums = low_to_high
        return cls(pitch, counts[last] - counts[first], sums[last] - sums[first])

    @property
    def total(self) -> Singles:
        """How many notes each window holds."""
        return self.counts[:, -1]

    def quantile(self, share: float) -> Floats:
        """The pitch that a share of the window's notes does not pass, against the note's own; 0 where empty."""
        wanted = np.maximum(share * self.total, 0.5)[:, None]
        found = (self.counts >= wanted).argmax(axis=1) + float(LOWEST_PIANO_KEY) - self.pitch
        return np.asarray(np.where(self.total > 0, found, 0.0), dtype=np.float64)

    def mean(self) -> Floats:
        """The mean pitch against the note's own; 0 where empty."""
        return np.asarray(np.where(self.total > 0, self.sums[:, -1] / np.maximum(self.total, 1) - self.pitch, 0.0))

    def below(self) -> Floats:
        """The share of the window's notes that lie below the note."""
        key = np.clip(self.pitch.astype(np.intp) - LOWEST_PIANO_KEY - 1, 0, KEYS - 1)
        return np.asarray(self.counts[np.arange(len(key)), key] / np.maximum(self.total, 1), dtype=np.float64)

    def middles(self) -> tuple[Floats, Floats, Floats]:
        """Two hands as the notes suggest: the middle of the lower group, of the upper, and the lower's share.

        The two groups are found by two-means: each note goes to the nearer middle, each middle to its notes' mean.
        """
        rows = np.arange(len(self.pitch))
        low = self.quantile(0.0) + self.pitch
        high = self.quantile(1.0) + self.pitch
        total, sums = self.total, self.sums[:, -1]
        lower = np.zeros(len(rows))
        for _ in range(TURNS):
            key = np.clip(((low + high) / 2).astype(np.intp) - LOWEST_PIANO_KEY, 0, KEYS - 1)
            lower = self.counts[rows, key].astype(np.float64)
            lower_sum = self.sums[rows, key]
            low = np.where(lower > 0, lower_sum / np.maximum(lower, 1), low)
            high = np.where(total > lower, (sums - lower_sum) / np.maximum(total - lower, 1), high)
        return low - self.pitch, high - self.pitch, lower / np.maximum(total, 1)


def around(up_to: Floats | Singles, key: Integers, first: Integers, last: Integers, reach: int) -> Floats:
    """What was added up within some semitones of each note's key, between two notes.

    Args:
        up_to: weights added up along time and from the lowest key up.
        key: of each note, counted from the lowest of the piano.
        first: the first note between.
        last: the first behind.
        reach: semitones to either side.
    """
    top, bottom = np.minimum(key + reach, KEYS - 1), np.maximum(key - reach, 0)
    here = up_to[last, top] - up_to[first, top]
    below = np.maximum(bottom - 1, 0)
    under = np.where(bottom > 0, up_to[last, below] - up_to[first, below], 0.0)
    return np.asarray(here - under, dtype=np.float64)

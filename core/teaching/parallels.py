"""Passages of a melody that are alike.

Two places are alike for as many notes as follow them in the same way: in rhythm alone, in rhythm and steps (a
transposed repeat), or in rhythm and pitch.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from core.teaching.trees import Floats

RHYTHM: Final = 0
SHAPE: Final = 1
EXACT: Final = 2
KINDS: Final = (RHYTHM, SHAPE, EXACT)

TELLING: Final = {RHYTHM: 5, SHAPE: 3, EXACT: 3}
"""From how many notes on a likeness of each kind is worth remembering."""
LONGEST: Final = 16
"""Notes; likeness is not followed further."""
BLOCK: Final = 400
"""Notes; a longer melody is compared within blocks of this size, so that the work grows with its length alone."""
FINEST_WAIT: Final = 48
"""Waits are compared in steps of a 48th of a quarter."""
SAME_PHASE: Final = 0.01
"""Bars."""

Integers = NDArray[np.int64]


class Likeness(Struct, frozen=True):
    """What is alike in one way.

    Attributes:
        fresh: for each place the longest likeness that begins there: with a place at the same phase of its bar,
            the notes before the two not being alike.
        with_start: for each place how many notes are like the melody's first ones; 0 for the first place itself.
        here: places, in order, one for each pair of places that are alike for a telling length.
        there: the other place of each pair.
        length: for how many notes.
    """

    fresh: Floats
    with_start: Floats
    here: Integers
    there: Integers
    length: Floats

    def elsewhere(self, likely: Floats) -> tuple[Floats, Floats]:
        """What is known of the places like each place.

        Args:
            likely: something known of every place, from 0 up.

        Returns:
            Its mean, weighted by the length of the likeness (−1 where there is none), and its largest (0 there).
        """
        count = len(self.fresh)
        weights = np.bincount(self.here, weights=self.length, minlength=count)
        sums = np.bincount(self.here, weights=self.length * likely[self.there], minlength=count)
        largest = np.zeros(count)
        if len(self.here):
            places, firsts = np.unique(self.here, return_index=True)
            largest[places] = np.maximum.reduceat(likely[self.there], firsts)
        return np.where(weights > 0, sums / np.maximum(weights, 1.0), -1.0), largest


def likenesses(wait: Floats, pitch: Integers, time: Floats) -> tuple[Likeness, ...]:
    """Compare a melody with itself, in each of `KINDS`.

    Args:
        wait: quarters from each note to the next.
        pitch: MIDI numbers.
        time: places in bars.
    """
    rhythm = np.round(wait * FINEST_WAIT).astype(np.int64)
    rhythm[-1] = -1
    step = np.append(np.diff(pitch), 99)
    blocks = []
    for start in range(0, len(wait), BLOCK):
        here = slice(start, start + BLOCK)
        blocks.append(_compare(rhythm[here], step[here], pitch[here], time[here], start))
    return tuple(_joined([block[kind] for block in blocks]) for kind in KINDS)


def _joined(pieces: list[Likeness]) -> Likeness:
    if len(pieces) == 1:
        return pieces[0]
    return Likeness(
        np.concatenate([piece.fresh for piece in pieces]),
        np.concatenate([piece.with_start for piece in pieces]),
        np.concatenate([piece.here for piece in pieces]),
        np.concatenate([piece.there for piece in pieces]),
        np.concatenate([piece.length for piece in pieces]),
    )


def _compare(rhythm: Integers, step: Integers, pitch: Integers, time: Floats, start: int) -> list[Likeness]:
    """The likenesses within a block that begins at note `start`."""
    count = len(rhythm)
    equal = np.empty((len(KINDS), count, count), dtype=np.int8)
    equal[RHYTHM] = rhythm[:, None] == rhythm
    equal[SHAPE] = step[:, None] == step
    equal[EXACT] = pitch[:, None] == pitch
    equal[SHAPE:] &= equal[RHYTHM]
    alike = np.zeros((len(KINDS), count + 1, count + 1), dtype=np.int8)
    for place in range(count - 1, -1, -1):
        row = alike[:, place, :-1]
        np.minimum(alike[:, place + 1, 1:], LONGEST - 1, out=row)
        row += 1
        row *= equal[:, place]
    alike = alike[:, :-1, :-1]
    phase = time - np.floor(time)
    apart = np.abs(phase[:, None] - phase)
    same_phase = (apart < SAME_PHASE) | (apart > 1 - SAME_PHASE)
    others = ~np.eye(count, dtype=bool)
    found = []
    for kind in KINDS:
        begins = same_phase & others
        begins[1:, 1:] &= equal[kind, :-1, :-1] == 0
        with_start = alike[kind, :, 0].astype(np.float64) if start == 0 else np.zeros(count)
        with_start[0] = 0.0
        here, there = np.nonzero((alike[kind] >= TELLING[kind]) & others)
        found.append(
            Likeness(
                (alike[kind] * begins).max(axis=1).astype(np.float64),
                with_start,
                here + start,
                there + start,
                alike[kind, here, there].astype(np.float64),
            )
        )
    return found

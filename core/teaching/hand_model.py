"""How likely the right hand plays each note: two forests of small boosted trees, learned from pieces for two hands.

The first forest judges each note by what sounds with it, under it, before and after. The second judges again,
knowing what the first says of the notes around, and what is certain there: a hand that the source or the teacher
gives counts as certain, so that one correction reaches the notes beside it.

Both are asked twice, about the notes and about the notes in a mirror (the middle of the keyboard reflects high to
low, and so the hands), and the two answers are averaged: mirrored notes get mirrored hands by construction.

Method: boosted trees over windows of pitches, chords and held notes, our own choice of features; learned by
tests/benchmarks/train_hands.py from the hannds data set (two-hand piano performances, MIT licence), of which
nothing but the trees' figures is kept here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Final

import numpy as np

from core.song.note import Hand
from core.teaching import hand_trees_first, hand_trees_second
from core.teaching.hand_features import Played, first_features, second_features
from core.teaching.trees import Floats, Forest

MIRROR: Final = 129
"""The sum of the MIDI numbers of a key and its mirror image, so that the 88 keys map onto themselves."""
SURE: Final = 6.0
"""Logarithm of the odds of a hand that is given."""


@cache
def _forests() -> tuple[Forest, Forest]:
    first, second = hand_trees_first, hand_trees_second
    return Forest.read(first.TREES, first.DEPTH), Forest.read(second.TREES, second.DEPTH)


def both_ways(notes: Sequence[tuple[int, int, int]]) -> tuple[Played, Played]:
    """The notes, and the notes in the mirror."""
    return Played.of(notes), Played.of([(onset, duration, MIRROR - midi) for onset, duration, midi in notes])


def averaged(ways: tuple[Played, Played], odds: tuple[Floats, Floats]) -> Floats:
    """One logarithm of the odds for each note, in the order in which the notes were given.

    Args:
        ways: from `both_ways`.
        odds: for each of the two, the logarithm of the odds that the right hand plays, in its own order.
    """
    upright, mirrored = np.empty(len(odds[0])), np.empty(len(odds[1]))
    upright[ways[0].order], mirrored[ways[1].order] = odds
    return np.asarray((upright - mirrored) / 2.0)


def passed_on(ways: tuple[Played, Played], odds: Floats) -> tuple[dict[str, Floats], dict[str, Floats]]:
    """The second forest's own features, both ways, from the odds that the first gives (as of `averaged`)."""
    upright = second_features(ways[0], _probability(odds[ways[0].order]))
    return upright, second_features(ways[1], _probability(-odds[ways[1].order]))


def right_odds(
    notes: Sequence[tuple[int, int, int]],
    given: Mapping[int, Hand],
    forests: tuple[Forest, Forest] | None = None,
) -> Floats:
    """The logarithm of the odds that the right hand plays each note.

    Args:
        notes: onset and duration in ticks and MIDI number, at least one, in any order.
        given: the hands that are certain, by the index of their note.
        forests: other forests than those learned from all pieces, for measuring.
    """
    first, second = forests or _forests()
    ways = both_ways(notes)
    seen = [first_features(way) for way in ways]
    odds = averaged(ways, _asked(first, hand_trees_first.FEATURES, seen))
    for index, hand in given.items():
        odds[index] = SURE if hand is Hand.RIGHT else -SURE
    for features, more in zip(seen, passed_on(ways, odds), strict=True):
        features |= more
    odds = averaged(ways, _asked(second, hand_trees_second.FEATURES, seen))
    for index, hand in given.items():
        odds[index] = SURE if hand is Hand.RIGHT else -SURE
    return odds


def _asked(forest: Forest, names: Sequence[str], seen: Sequence[dict[str, Floats]]) -> tuple[Floats, Floats]:
    upright, mirrored = (forest.log_odds(np.column_stack([features[name] for name in names])) for features in seen)
    return upright, mirrored


def _probability(odds: Floats) -> Floats:
    return np.asarray(1.0 / (1.0 + np.exp(-odds)))

"""How likely a phrase begins with each note of a melody.

Method: two forests of small boosted trees. The first judges each note by its song: waits and rests, steps, the
place in the metre, against the start and the end, and passages that are alike. The second judges again, knowing
what the first said about the notes around, the notes whole bars away, the places that go on alike, and the
lengths of the phrases so found. Both were learned from one half of the Essen Folksong Collection; the figures
reached on the other half are printed by tests/benchmarks/bench_phrases.py.

The cues are those of the literature (rests and long notes: Lerdahl & Jackendoff 1983, Cambouropoulos 2001;
parallelism and equal lengths of phrases: Temperley 2001, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Final

import numpy as np

from core.song.metre import Bar
from core.teaching import boundary_trees_first, boundary_trees_second
from core.teaching.boundary_features import Line, local_features, passed_on
from core.teaching.trees import Forest

PHRASE_LIKELY: Final = 0.42
"""From this probability on a phrase is said to begin: where precision and recall balance best in learning."""


@cache
def _forests() -> tuple[Forest, Forest]:
    first, second = boundary_trees_first, boundary_trees_second
    return Forest.read(first.TREES, first.DEPTH), Forest.read(second.TREES, second.DEPTH)


def boundary_strengths(notes: Sequence[tuple[int, int, int]], bars: Sequence[Bar]) -> tuple[float, ...]:
    """The probability that a phrase begins with each melody note.

    Args:
        notes: onset and duration in ticks and MIDI number of each note of a one-line melody, in order of onset,
            no two at once.
        bars: the bars they lie in, at least one, counted in the same ticks.

    Returns:
        0..1 for each note, 1 for the first.
    """
    if len(notes) < 2:
        return (1.0,) * len(notes)
    line = Line.of(notes, bars)
    features = local_features(line)
    first, second = _forests()
    likely = first.probability(np.column_stack([features[name] for name in boundary_trees_first.FEATURES]))
    likely[0] = 1.0
    features |= passed_on(line, likely)
    likely = second.probability(np.column_stack([features[name] for name in boundary_trees_second.FEATURES]))
    likely[0] = 1.0
    return tuple(likely.tolist())

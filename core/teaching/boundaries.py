"""How likely a phrase begins with each note of a melody.

Method: a logistic score of what phrase ends are known by (common practice): a rest, a long note before,
a place in the metre like that of the song's first note, and the length of two or four bars since the start.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, log2
from typing import Final

from core.song.metre import Bar
from core.song.time import TICKS_PER_QUARTER

BASE: Final = -4.0
REST: Final = 3.0
LONG: Final = 1.6
SAME_PLACE: Final = 1.4
EVERY_TWO_BARS: Final = 2.2
EVERY_FOUR_BARS: Final = 0.8


def boundary_strengths(notes: Sequence[tuple[int, int, int]], bars: Sequence[Bar]) -> tuple[float, ...]:
    """The probability that a phrase begins with each melody note.

    Args:
        notes: onset and duration in ticks and MIDI number of each note of a one-line melody, in order.
        bars: the bars they lie in, counted in the same ticks.

    Returns:
        0..1 for each note, 1 for the first.
    """
    if not notes:
        return ()
    bar = bars[1].duration if len(bars) > 2 else bars[0].duration if bars else 4 * TICKS_PER_QUARTER
    first = notes[0][0]
    strengths = [1.0]
    for index in range(1, len(notes)):
        onset = notes[index][0]
        wait = onset - notes[index - 1][0]
        rest = onset - notes[index - 1][0] - notes[index - 1][1]
        nearby = [
            notes[place][0] - notes[place - 1][0] for place in range(max(1, index - 4), min(len(notes), index + 5))
        ]
        usual = sorted(nearby)[len(nearby) // 2] or 1
        score = BASE + LONG * min(2.0, log2(max(wait, 1) / usual)) + (REST if rest > TICKS_PER_QUARTER // 8 else 0.0)
        since = onset - first
        score += SAME_PLACE * (since % bar == 0)
        score += EVERY_TWO_BARS * (since % (2 * bar) == 0) + EVERY_FOUR_BARS * (since % (4 * bar) == 0)
        strengths.append(1.0 / (1.0 + exp(-score)))
    return tuple(strengths)

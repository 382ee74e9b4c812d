"""The key of a tune or a piece, from its sounding notes alone.

Each of the twelve keys of the keyboard is tried as the tonic of a major and of a minor key. What speaks for it is a
sum of weights, one for each scale degree and each kind of evidence:

- ``share`` and ``root_share``: the degree's share of the sounding time, and its square root, so that rare degrees
  count too (key profiles as in Krumhansl 1990, learned here);
- ``last``, ``before_last``, ``first``: the degree of the lowest line's last, last but one and first note;
- ``ends``: the degrees on which the lowest line rests: notes before a rest, and notes twice as long as usual.

The lowest line is the lowest note of each moment: the tune itself, or the bass of a full arrangement. The weights
are those of a logistic regression (`core.theory.key_weights`, written by tests/benchmarks/train_key_finding.py), so
that the confidence is a probability. Which mode fills a major or minor key is told afterwards by its degrees: a
seventh, sixth, fourth or second that is nearly always the mode's own.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from core.song.key import Key, Mode
from core.song.pitch import NoteName
from core.theory.key_weights import BIAS, WEIGHTS

SoundingNote = tuple[int, int, int]
"""Onset in ticks, duration in ticks, MIDI number."""

EVIDENCE: Final = ("root_share", "share", "last", "before_last", "first", "ends")
_NEARLY_ALWAYS: Final = 3.0
"""How many times as long as the usual degree the mode's own one sounds."""
_NOTICED: Final = 0.01
"""The least share of the time from which a degree tells a mode."""


class KeyGuess(Struct, frozen=True):
    """A key, and how likely its tonic and its major or minor third are to be right, 0 … 1."""

    key: Key
    confidence: float


def find_key(notes: Sequence[SoundingNote]) -> KeyGuess:
    """The key of sounding notes, in any order, one line or many.

    Args:
        notes: (onset in ticks, duration in ticks, MIDI number) of each. Notes without duration count only where
            there are no others.

    No notes give C major with confidence 0.
    """
    sounding = sorted(note for note in notes if note[1] > 0) or sorted((onset, 1, midi) for onset, _, midi in notes)
    if not sounding:
        return KeyGuess(Key(NoteName("C")), 0.0)
    found = evidence(sounding)
    scores = {
        (tonic, minor): BIAS[minor]
        + sum(
            weight * value
            for weights, values in zip(WEIGHTS[minor], found, strict=True)
            for weight, value in zip(weights, values[tonic:] + values[:tonic], strict=True)
        )
        for tonic in range(12)
        for minor in (0, 1)
    }
    best = max(scores, key=lambda choice: scores[choice])
    confidence = 1.0 / sum(math.exp(score - scores[best]) for score in scores.values())
    tonic, minor = best
    share = found[EVIDENCE.index("share")]
    mode = _mode(share[tonic:] + share[:tonic], bool(minor))
    return KeyGuess(key_on(tonic, mode), confidence)


def evidence(notes: Sequence[SoundingNote]) -> tuple[list[float], ...]:
    """What each pitch class has of each kind of evidence, in the order of EVIDENCE.

    Args:
        notes: at least one, in order of onset, each with a duration.
    """
    from statistics import median  # loads much, and is wanted only for songs without a key

    share = _shares([(midi, duration) for _, duration, midi in notes])
    lowest: dict[int, SoundingNote] = {}
    for note in notes:
        if note[0] not in lowest or note[2] < lowest[note[0]][2]:
            lowest[note[0]] = note
    line = list(lowest.values())
    usual = median(duration for _, duration, _ in line)
    following = [*(onset for onset, _, _ in line[1:]), line[-1][0] + line[-1][1] + 1]
    ends = [
        midi
        for (onset, duration, midi), next_onset in zip(line, following, strict=True)
        if next_onset > onset + duration or duration >= 2 * usual
    ]
    return (
        [math.sqrt(value) for value in share],
        share,
        _shares([(line[-1][2], 1)]),
        _shares([(line[-2][2], 1)] if len(line) > 1 else []),
        _shares([(line[0][2], 1)]),
        _shares([(midi, 1) for midi in ends]),
    )


def _shares(weighted: Sequence[tuple[int, int]]) -> list[float]:
    """The share of each pitch class in a total of weights."""
    total = sum(weight for _, weight in weighted)
    shares = [0.0] * 12
    for midi, weight in weighted:
        shares[midi % 12] += weight / total
    return shares


def _mode(share: Sequence[float], is_minor: bool) -> Mode:
    """The mode that a major or minor key's degrees make of it; `share` is counted from the tonic."""

    def prevails(own: int, usual: int) -> bool:
        return share[own] > max(_NOTICED, _NEARLY_ALWAYS * share[usual])

    if is_minor:
        if prevails(1, 2):
            return Mode.PHRYGIAN
        return Mode.DORIAN if prevails(9, 8) and share[11] <= share[10] else Mode.MINOR
    if prevails(10, 11):
        return Mode.MIXOLYDIAN
    return Mode.LYDIAN if prevails(6, 5) and share[11] >= share[10] else Mode.MAJOR


def key_on(pitch_class: int, mode: Mode) -> Key:
    """The key on a key of the keyboard with the fewest signs in its signature; six flats rather than six sharps."""
    names = [NoteName.at_fifths(fifths) for fifths in range(-15, 20)]
    keys = [Key(name, mode) for name in names if name.pitch_class == pitch_class % 12]
    return min(keys, key=lambda key: (abs(key.fifths), key.fifths))

"""Which hand plays each note of a full arrangement.

Method: a beam search over the ways to share each chord between two hands that do not cross within it. A
hand has a centre that glides after what it plays; a share costs what its keys are away from the centre, what a
span beyond a fifth costs (held notes included), and a little for a register that is unusual for the hand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp
from typing import Final

from core.song.note import Hand
from core.song.time import TICKS_PER_QUARTER

TOGETHER: Final = TICKS_PER_QUARTER // 12
BEAM: Final = 24
GLIDE: Final = 0.64
FREE_REACH: Final = 2.0
MOVEMENT: Final = 0.5
SPAN: Final = 0.4
FREE_SPAN: Final = 7
REGISTER: Final = 0.012


@dataclass(frozen=True, slots=True)
class HandGuess:
    """The hand of a note.

    Attributes:
        hand: the likelier hand.
        confidence: 0 (a toss-up) to 1.
    """

    hand: Hand
    confidence: float


@dataclass(slots=True)
class _Sharing:
    """One way to have shared all chords so far."""

    cost: float
    left: float
    right: float
    held_left: tuple[tuple[int, int], ...]
    held_right: tuple[tuple[int, int], ...]
    before: _Sharing | None
    split: int


def assign_hands(notes: Sequence[tuple[int, int, int]]) -> tuple[HandGuess, ...]:
    """The hand of each note.

    Args:
        notes: onset and duration in ticks, and MIDI number, in any order.

    Returns:
        One guess for each note, in the order given.
    """
    if not notes:
        return ()
    order = sorted(range(len(notes)), key=lambda index: (notes[index][0], notes[index][2]))
    chords: list[list[int]] = []
    for index in order:
        if chords and notes[index][0] - notes[chords[-1][0]][0] < TOGETHER:
            chords[-1].append(index)
        else:
            chords.append([index])
    for chord in chords:
        chord.sort(key=lambda index: notes[index][2])
    beam = [_Sharing(0.0, 50.0, 72.0, (), (), None, 0)]
    last = notes[chords[0][0]][0]
    margins: list[list[float]] = []
    for chord in chords:
        onset = notes[chord[0]][0]
        waited = max(onset - last, 0) / TICKS_PER_QUARTER
        last = onset
        grown = [
            _share(before, [notes[index] for index in chord], split, onset, waited)
            for before in beam
            for split in range(len(chord) + 1)
        ]
        grown.sort(key=lambda sharing: sharing.cost)
        best: dict[int, float] = {}
        for sharing in grown:
            best.setdefault(sharing.split, sharing.cost)
        margins.append([best[split] for split in range(len(chord) + 1)])
        beam = grown[:BEAM]
    return _guesses(beam[0], chords, margins, len(notes))


def _share(before: _Sharing, chord: Sequence[tuple[int, int, int]], split: int, onset: int, waited: float) -> _Sharing:
    left, right = chord[:split], chord[split:]
    cost_left, centre_left, held_left = _play(before.left, before.held_left, left, onset, waited, 50.0)
    cost_right, centre_right, held_right = _play(before.right, before.held_right, right, onset, waited, 72.0)
    cost = before.cost + cost_left + cost_right
    if centre_left > centre_right:
        cost += 0.5 * (centre_left - centre_right)
    return _Sharing(cost, centre_left, centre_right, held_left, held_right, before, split)


def _play(
    centre: float,
    held: tuple[tuple[int, int], ...],
    struck: Sequence[tuple[int, int, int]],
    onset: int,
    waited: float,
    register: float,
) -> tuple[float, float, tuple[tuple[int, int], ...]]:
    """The cost for one hand to strike some keys, where its centre is then, and what it holds."""
    held = tuple((end, key) for end, key in held if end > onset + TOGETHER)
    if not struck:
        return 0.0, centre, held
    keys = [key for _, _, key in struck]
    middle = (keys[0] + keys[-1]) / 2
    under = keys + [key for _, key in held]
    span = max(under) - min(under)
    moved = max(0.0, abs(middle - centre) - FREE_REACH)
    cost = MOVEMENT * moved / (1.0 + waited) + SPAN * max(0, span - FREE_SPAN)
    cost += REGISTER * sum(abs(key - register) for key in keys)
    held = held + tuple((when + length, key) for when, length, key in struck)
    return cost, centre + GLIDE * (middle - centre), held


def _guesses(
    best: _Sharing, chords: Sequence[Sequence[int]], margins: Sequence[Sequence[float]], count: int
) -> tuple[HandGuess, ...]:
    guesses = [HandGuess(Hand.RIGHT, 0.0)] * count
    sharing: _Sharing | None = best
    for chord, costs in zip(reversed(chords), reversed(margins), strict=True):
        if sharing is None:
            break
        for place, index in enumerate(chord):
            is_left = place < sharing.split
            as_left = min(costs[place + 1 :])
            as_right = min(costs[: place + 1])
            margin = (as_right - as_left) if is_left else (as_left - as_right)
            confidence = max(0.0, 2.0 / (1.0 + exp(-max(-50.0, min(50.0, margin)))) - 1.0)
            guesses[index] = HandGuess(Hand.LEFT if is_left else Hand.RIGHT, round(confidence, 3))
        sharing = sharing.before
    return tuple(guesses)

"""Which hand plays each note of a full arrangement, how sure that is, and why.

What the notes show is weighed by `core.teaching.hand_model`. Then the body has its say: where a hand would have to
strike keys together that lie further apart than it reaches, and the other hand could take one of them, the other
hand takes it. Hands that are given stay, and what is around them is told with their help.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Final

import numpy as np
from msgspec import Struct

from core.song.hand_profile import HandProfile
from core.song.note import Hand
from core.teaching.hand_features import Played
from core.teaching.hand_model import right_odds
from core.teaching.hand_windows import Integers

DOUBTFUL: Final = 0.8
"""Below this confidence a note is worth the teacher's look. By cross-validation over pieces, about one note in
seven lies below it."""
WIDEST_TUNE: Final = 24
"""Semitones; a single line inside two octaves is taken for a tune that the right hand plays (common practice)."""
WIDEST_REACH: Final = 16
"""Semitones, a tenth: what players of the usual pieces reach or roll (common practice); a profile may reach
further, one that reaches less says what is easy, not what is possible."""


class HandGuess(Struct, frozen=True):
    """The hand of a note.

    Attributes:
        hand: the likelier hand.
        confidence: 0 (a toss-up) to 1 (certain).
        moved: whether the note was moved to this hand because the other does not reach so far.
    """

    hand: Hand
    confidence: float
    moved: bool = False

    @property
    def is_doubtful(self) -> bool:
        """Whether the teacher should look at it."""
        return self.confidence < DOUBTFUL


def assign_hands(
    notes: Sequence[tuple[int, int, int]],
    given: Mapping[int, Hand] | None = None,
    hands: HandProfile | None = None,
) -> tuple[HandGuess, ...]:
    """The hand of each note.

    Args:
        notes: onset and duration in ticks, and MIDI number, in any order.
        given: hands that the source or the teacher names, by the index of their note; they stay as they are, with
            confidence 1, and the notes around are told with their help.
        hands: what the player reaches.

    Returns:
        One guess for each note, in the order given.
    """
    given = {} if given is None else given
    if not notes:
        return ()
    if Hand.LEFT not in given.values() and is_one_line(notes):
        return (HandGuess(Hand.RIGHT, 1.0),) * len(notes)
    odds = right_odds(notes, given)
    is_right = odds > 0
    confidence = np.abs(np.tanh(odds / 2))
    confidence[list(given)] = 1.0
    moved = _moved(notes, is_right, confidence, given, hands or HandProfile())
    return tuple(
        HandGuess(Hand.RIGHT if right else Hand.LEFT, round(sure, 3), index in moved)
        for index, (right, sure) in enumerate(zip(is_right.tolist(), confidence.tolist(), strict=True))
    )


def is_one_line(notes: Sequence[tuple[int, int, int]]) -> bool:
    """Whether the notes are a tune: one after another, and within two octaves."""
    if not notes:
        return True
    line = sorted(notes)
    midis = [midi for _, _, midi in line]
    alone = all(after[0] >= before[0] + before[1] for before, after in pairwise(line))
    return alone and max(midis) - min(midis) <= WIDEST_TUNE


def reach_of(hand: Hand, hands: HandProfile) -> int:
    """The widest interval in semitones that a hand is left to strike at once: a tenth, or what the profile says."""
    return max(hands.reach(hand), WIDEST_REACH)


def _moved(
    notes: Sequence[tuple[int, int, int]],
    is_right: np.typing.NDArray[np.bool_],
    confidence: np.typing.NDArray[np.float64],
    given: Mapping[int, Hand],
    hands: HandProfile,
) -> set[int]:
    """Move what is struck too far apart for a hand to the other one where that reaches it; which notes were moved."""
    played = Played.of(notes)
    place_of = np.empty(len(notes), dtype=np.intp)
    place_of[played.order] = np.arange(len(notes))
    here, there = played.mates
    right = is_right[played.order]
    reach = np.where(right[here], reach_of(Hand.RIGHT, hands), reach_of(Hand.LEFT, hands))
    wide = (right[here] == right[there]) & (np.abs(played.pitch[here] - played.pitch[there]) > reach)
    moved: set[int] = set()
    offenders: list[int] = played.order[np.unique(here[wide])].tolist()
    # The note nearest to the other hand goes first.
    for index in sorted(offenders, key=lambda index: notes[index][2] if is_right[index] else -notes[index][2]):
        if index in given:
            continue
        mates = _struck_with(played, int(place_of[index]))
        hand, other = (Hand.RIGHT, Hand.LEFT) if is_right[index] else (Hand.LEFT, Hand.RIGHT)
        midi = notes[index][2]
        own = [notes[mate][2] for mate in mates if is_right[mate] == is_right[index]]
        others = [notes[mate][2] for mate in mates if is_right[mate] != is_right[index]]
        is_inner = bool(own) and (midi < min(own) if hand is Hand.RIGHT else midi > max(own))
        if not is_inner or max(abs(key - midi) for key in own) <= reach_of(hand, hands):
            continue
        if others and max(*others, midi) - min(*others, midi) > reach_of(other, hands):
            continue
        is_right[index] = not is_right[index]
        confidence[index] = 0.0
        moved.add(index)
    return moved


def _struck_with(played: Played, place: int) -> list[int]:
    """The indices of the notes struck together with one."""
    here, there = played.mates
    first, last = np.searchsorted(here, [place, place + 1])
    found: Integers = played.order[there[first:last]]
    return list(map(int, found))

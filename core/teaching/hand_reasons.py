"""Why a hand is said to play a note, in a short sentence, from what both hands do at and around it."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from typing import Final

from msgspec import Struct

from core.song.note import Hand
from core.song.time import TICKS_PER_QUARTER
from core.teaching.hands import HandGuess

TOGETHER: Final = TICKS_PER_QUARTER // 14
"""Ticks: notes nearer than this are struck together."""
LONGEST_HELD: Final = 16 * TICKS_PER_QUARTER
NEAR: Final = 2 * TICKS_PER_QUARTER
"""Ticks: what was played longer ago is no reason."""
DISTANCES: Final = (
    "the same key as", "a half step from", "a step from", "a third from", "a third from", "a fourth from",
    "a tritone from", "a fifth from", "a sixth from", "a sixth from", "a seventh from", "a seventh from",
    "an octave from", "a ninth from", "a ninth from", "a tenth from", "a tenth from",
)  # fmt: skip  # a table, read line by line
FARTHER: Final = "more than a tenth from"
OTHER: Final = {Hand.RIGHT: Hand.LEFT, Hand.LEFT: Hand.RIGHT}


class _Around(Struct, frozen=True):
    """What is played at and shortly before a note, by one hand."""

    struck: tuple[int, ...]
    held: tuple[int, ...]
    before: tuple[int, ...]


def hand_reasons(
    notes: Sequence[tuple[int, int, int]], hands: Sequence[Hand], guesses: Sequence[HandGuess]
) -> tuple[str, ...]:
    """A reason for the hand of each note.

    Args:
        notes: onset and duration in ticks, and MIDI number, in order of onset.
        hands: the hand that plays each.
        guesses: what `assign_hands` says of each.
    """
    onsets = [onset for onset, _, _ in notes]
    holding = _holding(notes)
    reasons = []
    for index, ((onset, _, midi), hand, guess) in enumerate(zip(notes, hands, guesses, strict=True)):
        first, last = bisect_left(onsets, onset - TOGETHER), bisect_right(onsets, onset + TOGETHER)
        struck = [other for other in range(first, last) if other != index]
        before = range(bisect_left(onsets, onset - NEAR), first)

        def of(
            which: Hand, struck: Iterable[int] = struck, index: int = index, before: Iterable[int] = before
        ) -> _Around:
            return _Around(
                tuple(notes[other][2] for other in struck if hands[other] is which),
                tuple(notes[other][2] for other in holding[index] if hands[other] is which),
                tuple(notes[other][2] for other in before if hands[other] is which),
            )

        reasons.append(_reason(midi, hand, guess, of(hand), of(OTHER[hand])))
    return tuple(reasons)


def _holding(notes: Sequence[tuple[int, int, int]]) -> list[list[int]]:
    """For each note those that were struck before it and are still down."""
    found: list[list[int]] = []
    down: list[int] = []
    for onset, _, _ in notes:
        down = [other for other in down if notes[other][0] + notes[other][1] > onset + TOGETHER]
        down = [other for other in down if onset - notes[other][0] <= LONGEST_HELD]
        found.append([other for other in down if notes[other][0] < onset - TOGETHER])
        down.append(len(found) - 1)
    return found


def _reason(midi: int, hand: Hand, guess: HandGuess, own: _Around, other: _Around) -> str:
    name, others = hand.value, OTHER[hand].value
    if guess.moved and guess.hand is hand:
        return f"The {others} hand does not reach it with the other keys it strikes there."
    side, key = ("above", max) if hand is Hand.RIGHT else ("below", min)
    clear = "over" if hand is Hand.RIGHT else "under"
    sounding = (*other.struck, *other.held)
    if sounding:
        edge = key(sounding)
        if (midi > edge) if hand is Hand.RIGHT else (midi < edge):
            what = "strikes with it" if edge in other.struck else "holds there"
            near = "" if abs(midi - edge) > 4 else ", though close to it"
            return f"It lies {side} what the {others} hand {what}{near}."
        if own.struck:
            return f"It is struck with the {name} hand's other keys, among what the {others} hand plays."
        if own.before:
            return f"The hands cross here: it is {_from(midi, own.before)} where the {name} hand was just before."
        return f"The hands cross here, {clear} what the {others} hand plays."
    if own.struck or own.held:
        what = "strikes with it" if own.struck else "holds"
        return f"It is {_from(midi, own.struck or own.held)} what the {name} hand {what}; the {others} hand is free."
    if own.before and other.before:
        mine, theirs = _distance(midi, own.before), _distance(midi, other.before)
        if mine <= theirs:
            return f"It is {_from(midi, own.before)} where the {name} hand was just before."
        return f"The {name} hand has time to move here; the {others} hand was nearer just before."
    if own.before:
        return f"It goes on from the {name} hand, {_from(midi, own.before)} where that was just before."
    return f"The {name} hand begins here; what follows lies in its reach."


def _distance(midi: int, keys: Sequence[int]) -> int:
    return min(abs(key - midi) for key in keys)


def _from(midi: int, keys: Sequence[int]) -> str:
    distance = _distance(midi, keys)
    return DISTANCES[distance] if distance < len(DISTANCES) else FARTHER

"""Why a hand is said to play a note, in a short sentence, from what both hands do at and around it."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from typing import Final

from msgspec import Struct

from core.song.note import Hand
from core.song.time import TICKS_PER_QUARTER
from core.song.wording import say, say_in, to_say
from core.teaching.effort_reasons import interval_named
from core.teaching.hand_names import OTHER_HAND, hand_at_a_start, hand_said
from core.teaching.hands import HandGuess

TOGETHER: Final = TICKS_PER_QUARTER // 14
"""Ticks: notes nearer than this are struck together."""
LONGEST_HELD: Final = 16 * TICKS_PER_QUARTER
NEAR: Final = 2 * TICKS_PER_QUARTER
"""Ticks: what was played longer ago is no reason."""
HALF_STEP: Final = 1
STEP: Final = 2
TENTH: Final = 16
CLOSE: Final = 4
"""Semitones."""

_BESIDE: Final = {
    (Hand.RIGHT, True, False): to_say("It lies above what the left hand strikes with it."),
    (Hand.RIGHT, True, True): to_say("It lies above what the left hand strikes with it, though close to it."),
    (Hand.RIGHT, False, False): to_say("It lies above what the left hand holds there."),
    (Hand.RIGHT, False, True): to_say("It lies above what the left hand holds there, though close to it."),
    (Hand.LEFT, True, False): to_say("It lies below what the right hand strikes with it."),
    (Hand.LEFT, True, True): to_say("It lies below what the right hand strikes with it, though close to it."),
    (Hand.LEFT, False, False): to_say("It lies below what the right hand holds there."),
    (Hand.LEFT, False, True): to_say("It lies below what the right hand holds there, though close to it."),
}
"""By the hand that plays it, whether the other one strikes or holds, and whether it lies close to that."""

_AMONG: Final = {
    Hand.RIGHT: to_say("It is struck with the right hand's other keys, among what the left hand plays."),
    Hand.LEFT: to_say("It is struck with the left hand's other keys, among what the right hand plays."),
}

_CROSSING: Final = (
    to_say("The hands cross here: it is the same key as where {hand} was just before."),
    to_say("The hands cross here: it is {interval} from where {hand} was just before."),
)
_STRUCK_WITH_IT: Final = (
    to_say("It is the same key as what {hand} strikes with it; {other_hand} is free."),
    to_say("It is {interval} from what {hand} strikes with it; {other_hand} is free."),
)
_HELD: Final = (
    to_say("It is the same key as what {hand} holds; {other_hand} is free."),
    to_say("It is {interval} from what {hand} holds; {other_hand} is free."),
)
_JUST_BEFORE: Final = (
    to_say("It is the same key as where {hand} was just before."),
    to_say("It is {interval} from where {hand} was just before."),
)
_GOES_ON: Final = (
    to_say("It goes on from {hand}, the same key as where that was just before."),
    to_say("It goes on from {hand}, {interval} from where that was just before."),
)
"""What is said of a key that is the same as the nearest one of a hand, and of another."""


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

        reasons.append(_reason(midi, hand, guess, of(hand), of(OTHER_HAND[hand])))
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
    mine, others = hand_said(hand), hand_said(OTHER_HAND[hand])
    if guess.moved and guess.hand is hand:
        return say(
            "{hand} does not reach it with the other keys it strikes there.", hand=hand_at_a_start(OTHER_HAND[hand])
        )
    sounding = (*other.struck, *other.held)
    if sounding:
        edge = max(sounding) if hand is Hand.RIGHT else min(sounding)
        if (midi > edge) if hand is Hand.RIGHT else (midi < edge):
            return say(_BESIDE[hand, edge in other.struck, abs(midi - edge) <= CLOSE])
        if own.struck:
            return say(_AMONG[hand])
        if own.before:
            return _at_a_distance(_CROSSING, _distance(midi, own.before), mine, others)
        if hand is Hand.RIGHT:
            return say("The hands cross here, over what the left hand plays.")
        return say("The hands cross here, under what the right hand plays.")
    if own.struck:
        return _at_a_distance(_STRUCK_WITH_IT, _distance(midi, own.struck), mine, others)
    if own.held:
        return _at_a_distance(_HELD, _distance(midi, own.held), mine, others)
    if own.before and other.before:
        near, far = _distance(midi, own.before), _distance(midi, other.before)
        if near <= far:
            return _at_a_distance(_JUST_BEFORE, near, mine, others)
        return say(
            "{hand} has time to move here; {other_hand} was nearer just before.",
            hand=hand_at_a_start(hand),
            other_hand=others,
        )
    if own.before:
        return _at_a_distance(_GOES_ON, _distance(midi, own.before), mine, others)
    return say("{hand} begins here; what follows lies in its reach.", hand=hand_at_a_start(hand))


def _distance(midi: int, keys: Sequence[int]) -> int:
    return min(abs(key - midi) for key in keys)


def _at_a_distance(texts: tuple[str, str], distance: int, hand: str, other_hand: str) -> str:
    """One of two texts said: that for the same key, or that for so many semitones away."""
    if not distance:
        return say(texts[0], hand=hand, other_hand=other_hand)
    return say(texts[1], interval=_interval(distance), hand=hand, other_hand=other_hand)


def _interval(distance: int) -> str:
    if distance > TENTH:
        return say_in("interval", "more than a tenth")
    if distance > STEP:
        return interval_named(distance)
    return say_in("interval", "a half step") if distance == HALF_STEP else say_in("interval", "a step")

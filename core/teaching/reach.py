"""Keys that lie beyond what a hand reaches, each with something smaller to play instead.

The smaller ways are those a teacher offers (common practice): leave the key out, roll the chord, or let a held key
go when the far one comes. What carries the song stays: notes of the melody first, then as many different names as can
be, then the hand's outer voice, which is the highest in the right hand and the lowest in the left.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from core.song.hand_profile import HandProfile
from core.song.note import Hand, Note
from core.song.time import TICKS_PER_QUARTER
from core.teaching.effort_reasons import INTERVALS
from core.teaching.fingering_cost import ONE_THUMB_TAKES
from core.teaching.fingering_passage import MOST_FINGERS, SHORTEST_HOLD

TIME_TO_ROLL: Final = TICKS_PER_QUARTER // 2
"""A chord that sounds for less than this is over before it is rolled."""


class BeyondReach(Struct, frozen=True):
    """A note that a hand does not reach along with the others.

    Attributes:
        note: place of the note in the line.
        onset: tick at which it is too much, counted as the notes' onsets are.
        trouble: what does not go: ``the left hand has a tenth from C to E``.
        alternative: something smaller: ``leave out the E, or roll the chord from the lowest key up``.
    """

    note: int
    onset: int
    trouble: str
    alternative: str


def beyond_reach(notes: Sequence[Note], hand: Hand, profile: HandProfile) -> tuple[BeyondReach, ...]:
    """The notes of one hand that it does not reach along with the others, or has no finger for.

    Args:
        notes: notes of one hand in order (`Note.order`), with onsets from any common start. Grace notes are played
            by themselves and are never beyond reach.
        hand: the hand that plays them.
        profile: what the hand reaches.

    Returns:
        At most one for each note, in order of the moments at which they are too much. Without those notes everything
        is within reach.
    """
    reach = profile.reach(hand)
    found: dict[int, BeyondReach] = {}
    down: list[int] = []
    for onset, struck in _struck_together(notes):
        down = [place for place in down if notes[place].end - onset >= SHORTEST_HOLD and place not in found]
        left_out = _too_many_together(notes, struck, hand, reach)
        found.update((beyond.note, beyond) for beyond in left_out)
        kept = [place for place in struck if place not in found]
        # The longest held goes first: it has been heard.
        for place in list(down):
            beyond = _held_too_far(notes, place, kept, onset, hand, reach)
            if beyond is not None:
                found[beyond.note] = beyond
                kept = [other for other in kept if other != beyond.note]
                down = [other for other in down if other != beyond.note]
        down += kept
    return tuple(found.values())


def _struck_together(notes: Sequence[Note]) -> list[tuple[int, list[int]]]:
    moments: dict[int, list[int]] = {}
    for place, note in enumerate(notes):
        if not note.is_grace:
            moments.setdefault(note.onset, []).append(place)
    return sorted(moments.items())


def _too_many_together(notes: Sequence[Note], struck: Sequence[int], hand: Hand, reach: int) -> list[BeyondReach]:
    """What is left out of notes struck together."""
    midis = sorted({notes[place].pitch.midi for place in struck})
    if midis[-1] - midis[0] <= reach and len(midis) <= MOST_FINGERS:
        return []
    rolled = min(notes[place].duration for place in struck) >= TIME_TO_ROLL
    within = max(
        (frozenset(midi for midi in midis if lowest <= midi <= lowest + reach) for lowest in midis),
        key=lambda keys: _worth(notes, struck, keys, hand),
    )
    beyond = []
    for place in struck:
        midi = notes[place].pitch.midi
        if midi not in within:
            anchor = max(within, key=lambda kept: abs(kept - midi))
            low, high = sorted((midi, anchor))
            name = _names(notes, struck)
            trouble = f"the {hand.value} hand has {_interval(high - low)} from {name[low]} up to {name[high]}"
            roll = ", or roll the chord from the lowest key up" if rolled else ""
            which = "lower" if midi < anchor else "upper"
            beyond.append(BeyondReach(place, notes[place].onset, trouble, f"leave out the {which} {name[midi]}{roll}"))
    extra = _without_a_finger(sorted(within), hand)
    for place in struck:
        if notes[place].pitch.midi in extra:
            trouble = f"the {hand.value} hand has {len(within)} keys at once"
            advice = f"leave out the {_names(notes, struck)[notes[place].pitch.midi]} inside the chord"
            beyond.append(BeyondReach(place, notes[place].onset, trouble, advice))
    return beyond


def _worth(
    notes: Sequence[Note], struck: Sequence[int], keys: frozenset[int], hand: Hand
) -> tuple[int, int, bool, int]:
    """How much of a chord is kept by some of its keys."""
    kept = [notes[place] for place in struck if notes[place].pitch.midi in keys]
    midis = [notes[place].pitch.midi for place in struck]
    outer = max(midis) if hand is Hand.RIGHT else min(midis)
    return (sum(note.melody for note in kept), len({midi % 12 for midi in keys}), outer in keys, len(keys))


def _without_a_finger(midis: Sequence[int], hand: Hand) -> frozenset[int]:
    """Keys inside a chord that five fingers do not take, with a thumb on two neighbouring keys."""
    # From the thumb's side.
    keys = list(midis if hand is Hand.RIGHT else reversed(midis))
    extra: list[int] = []
    while len(keys) > MOST_FINGERS and not (
        len(keys) == MOST_FINGERS + 1 and abs(keys[1] - keys[0]) <= ONE_THUMB_TAKES
    ):
        extra.append(keys.pop(2))
    return frozenset(extra)


def _held_too_far(
    notes: Sequence[Note], held: int, struck: Sequence[int], onset: int, hand: Hand, reach: int
) -> BeyondReach | None:
    """A held key that lies too far from what is struck meanwhile."""
    holding = notes[held].pitch
    far = [place for place in struck if abs(notes[place].pitch.midi - holding.midi) > reach]
    if not far:
        return None
    striking = notes[max(far, key=lambda place: abs(notes[place].pitch.midi - holding.midi))].pitch
    width = _interval(abs(striking.midi - holding.midi))
    trouble = f"the {hand.value} hand holds {holding.name.symbol} while it plays {striking.name.symbol}, {width} away"
    if notes[held].melody and len(far) == 1 and not notes[far[0]].melody:
        return BeyondReach(far[0], onset, trouble, f"leave out the {striking.name.symbol}")
    return BeyondReach(held, onset, trouble, f"let the {holding.name.symbol} go there, or catch it with the pedal")


def _names(notes: Sequence[Note], places: Sequence[int]) -> dict[int, str]:
    return {notes[place].pitch.midi: notes[place].pitch.name.symbol for place in places}


def _interval(semitones: int) -> str:
    return INTERVALS[semitones] if semitones < len(INTERVALS) else "more than two octaves"

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
from core.song.wording import say, say_counted, to_say
from core.teaching.effort_reasons import interval_named
from core.teaching.fingering_cost import ONE_THUMB_TAKES
from core.teaching.fingering_passage import MOST_FINGERS, SHORTEST_HOLD
from core.teaching.hand_names import hand_said

TIME_TO_ROLL: Final = TICKS_PER_QUARTER // 2
"""A chord that sounds for less than this is over before it is rolled."""

_SMALLER: Final = {
    (True, True): to_say("leave out the lower {key}, or roll the chord from the lowest key up"),
    (True, False): to_say("leave out the lower {key}"),
    (False, True): to_say("leave out the upper {key}, or roll the chord from the lowest key up"),
    (False, False): to_say("leave out the upper {key}"),
}
"""Something smaller than a chord too wide: whether its lower key is left out, and whether it can be rolled."""


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

    @property
    def sentence(self) -> str:
        """What does not go and what to play instead, without a capital letter."""
        return say("{trouble}: {alternative}.", trouble=self.trouble, alternative=self.alternative)


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
            trouble = say(
                "{hand} has {interval} from {low_key} up to {high_key}",
                hand=hand_said(hand),
                interval=interval_named(high - low),
                low_key=name[low],
                high_key=name[high],
            )
            advice = say(_SMALLER[midi < anchor, rolled], key=name[midi])
            beyond.append(BeyondReach(place, notes[place].onset, trouble, advice))
    extra = _without_a_finger(sorted(within), hand)
    for place in struck:
        if notes[place].pitch.midi in extra:
            trouble = say_counted(
                "{hand} has {count} key at once", "{hand} has {count} keys at once", len(within), hand=hand_said(hand)
            )
            name = _names(notes, struck)
            advice = say("leave out the {key} inside the chord", key=name[notes[place].pitch.midi])
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
    trouble = say(
        "{hand} holds {held_key} while it plays {key}, {interval} away",
        hand=hand_said(hand),
        held_key=holding.name.symbol,
        key=striking.name.symbol,
        interval=interval_named(striking.midi - holding.midi),
    )
    if notes[held].melody and len(far) == 1 and not notes[far[0]].melody:
        return BeyondReach(far[0], onset, trouble, say("leave out the {key}", key=striking.name.symbol))
    advice = say("let the {key} go there, or catch it with the pedal", key=holding.name.symbol)
    return BeyondReach(held, onset, trouble, advice)


def _names(notes: Sequence[Note], places: Sequence[int]) -> dict[int, str]:
    return {notes[place].pitch.midi: notes[place].pitch.name.symbol for place in places}

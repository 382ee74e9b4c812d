"""Which finger plays each note, and why.

One search for lines and chords of either hand (`fingering_search`), over one set of costs (`fingering_cost`).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from msgspec import Struct

from core.song.hand_profile import HandProfile
from core.song.key import Key
from core.song.note import Hand, Note
from core.song.pitch import Pitch
from core.teaching.fingering_passage import Moment, moments_of
from core.teaching.fingering_positions import HandPosition, positions_of
from core.teaching.fingering_reasons import reasons_of
from core.teaching.fingering_repeats import wishes_of
from core.teaching.fingering_search import best_grips, cost_of, steps_of
from core.teaching.fingering_weights import POINT


class Fingered(Struct, frozen=True):
    """A finger for a note and why.

    Attributes:
        finger: 1 (thumb) … 5.
        reason: a short clause that can be shown.
    """

    finger: int
    reason: str


class FingeredHand(Struct, frozen=True):
    """What one hand does in a line.

    Attributes:
        fingers: of each note, in the notes' order.
        positions: where the hand lies, in order.
    """

    fingers: tuple[Fingered, ...]
    positions: tuple[HandPosition, ...]


def finger_line(notes: Sequence[Note], hand: Hand, profile: HandProfile) -> tuple[Fingered, ...]:
    """A finger for every note of one hand, in the notes' order.

    The fingering costs the least there is (`fingering_cost`), found exactly; only a passage that comes back may cost
    a little more, so that it is fingered as it was the first time. A note's own finger is kept and the rest is found
    around it. A chord gets rising fingers; a key that is held down keeps its finger; a rest frees the hand.

    Args:
        notes: notes of one hand in order, with onsets from any common start; may be empty.
        hand: the hand that plays all of them, whatever the notes say.
        profile: what the hand reaches.

    Returns:
        As many fingers as notes. Of more than five keys at once the thumb takes the extra ones.
    """
    return finger_hand(notes, hand, profile).fingers


def finger_hand(notes: Sequence[Note], hand: Hand, profile: HandProfile, key: Key | None = None) -> FingeredHand:
    """Fingers and positions of one hand, as `finger_line` and `hand_positions` give them, found once."""
    moments, grips = _solve(notes, hand, profile)
    fingers = _fingers(moments, grips)
    reasons = reasons_of(notes, moments, grips, hand, profile.reach(hand))
    return FingeredHand(
        tuple(Fingered(fingers[place], reasons[place]) for place in range(len(notes))),
        positions_of(notes, moments, grips, hand, key),
    )


def finger_chord(pitches: Sequence[Pitch], hand: Hand, profile: HandProfile) -> tuple[int, ...]:
    """Fingers for notes struck together, from the lowest up.

    Args:
        pitches: the pitches of one hand, from the lowest up; may be empty.
        hand: the hand that plays.
        profile: what the hand reaches.

    Returns:
        As many fingers as pitches. Of more than five keys the thumb takes the extra ones.
    """
    return _finger_chord(tuple(pitches), hand, profile)


@lru_cache(maxsize=4096)
def _finger_chord(pitches: tuple[Pitch, ...], hand: Hand, profile: HandProfile) -> tuple[int, ...]:
    """As `finger_chord`; a song comes back to its chords."""
    chord = [Note(0, 1, pitch, hand) for pitch in pitches]
    fingers = _fingers(*_solve(chord, hand, profile))
    return tuple(fingers[place] for place in range(len(pitches)))


def hand_positions(
    notes: Sequence[Note], hand: Hand, profile: HandProfile, key: Key | None = None
) -> tuple[HandPosition, ...]:
    """Where the hand lies through a line, each place named: ``thumb on E♭ to fifth finger on B♭``.

    Args:
        notes: notes of one hand in order, as for `finger_line`.
        hand: the hand that plays.
        profile: what the hand reaches.
        key: names the keys that lie under fingers which do not play.

    Returns:
        The positions in order; each lasts from its first note to its last.
    """
    return positions_of(notes, *_solve(notes, hand, profile), hand, key)


def fingering_cost(notes: Sequence[Note], fingers: Sequence[int], hand: Hand, profile: HandProfile) -> float:
    """What a fingering costs the hand, in points of the published model.

    Args:
        notes: notes of one hand in order, as for `finger_line`.
        fingers: as many fingers, 1 … 5; of notes struck together they rise away from the thumb's side.
        hand: the hand that plays.
        profile: what the hand reaches.

    Raises:
        ValueError: if the fingers of a moment are none that `finger_line` would consider.
    """
    reach = profile.reach(hand)
    moments = moments_of(notes, hand, reach)
    grips = [tuple(fingers[places[0]] for places in moment.notes) for moment in moments]
    return cost_of(moments, steps_of(moments, reach), grips) / POINT


def _solve(
    notes: Sequence[Note], hand: Hand, profile: HandProfile
) -> tuple[tuple[Moment, ...], tuple[tuple[int, ...], ...]]:
    reach = profile.reach(hand)
    moments = moments_of(notes, hand, reach)
    grips = best_grips(moments, steps_of(moments, reach))
    wishes = wishes_of(moments, grips)
    if wishes:
        grips = best_grips(moments, steps_of(moments, reach, wishes))
    return moments, grips


def _fingers(moments: Sequence[Moment], grips: Sequence[tuple[int, ...]]) -> dict[int, int]:
    return {
        place: finger
        for moment, grip in zip(moments, grips, strict=True)
        for places, finger in zip(moment.notes, grip, strict=True)
        for place in places
    }

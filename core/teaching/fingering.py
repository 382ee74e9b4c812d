"""Which finger plays each note."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from core.song.hand_profile import HandProfile
from core.song.note import Hand, Note
from core.song.pitch import Pitch
from core.teaching.fingering_passage import moments_of
from core.teaching.fingering_search import best_grips, steps_of


@dataclass(frozen=True, slots=True)
class Fingered:
    """A finger for a note and why.

    Attributes:
        finger: 1 (thumb) … 5.
        reason: a short clause that can be shown.
    """

    finger: int
    reason: str


def finger_line(notes: Sequence[Note], hand: Hand, profile: HandProfile) -> tuple[Fingered, ...]:
    """A finger for every note of one hand, in the notes' order.

    Args:
        notes: notes of one hand, in order.
        hand: the hand that plays all of them, whatever the notes say.
        profile: what the hand reaches.

    Returns:
        As many fingers as notes; a note's own finger is kept.
    """
    reach = profile.reach(hand)
    moments = moments_of(notes, hand, reach)
    grips = best_grips(moments, steps_of(moments, reach))
    fingers = {
        place: finger
        for moment, grip in zip(moments, grips, strict=True)
        for places, finger in zip(moment.notes, grip, strict=True)
        for place in places
    }
    return tuple(
        Fingered(fingers[index], "the easiest way through the line" if note.finger is None else "the teacher's own")
        for index, note in enumerate(notes)
    )


def finger_chord(pitches: Sequence[Pitch], hand: Hand, profile: HandProfile) -> tuple[int, ...]:
    """Fingers for notes struck together, from the lowest up.

    Args:
        pitches: one to five pitches of one hand, from the lowest up; of more, the thumb takes the extra ones.
        hand: the hand that plays.
        profile: what the hand reaches.

    Returns:
        As many fingers as pitches.
    """
    chord = [Note(0, 1, pitch, hand) for pitch in sorted(pitches, key=lambda pitch: pitch.midi)]
    return tuple(fingered.finger for fingered in finger_line(chord, hand, profile))

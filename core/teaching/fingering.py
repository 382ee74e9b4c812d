"""Which finger plays each note."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final

from core.song.hand_profile import HandProfile
from core.song.note import Hand, Note
from core.song.pitch import Pitch
from core.teaching.published_fingering_model import best_fingering
from core.teaching.spans import FINGERS, published_span

MIRROR: Final = 124
"""A keyboard mirrored at D: the left hand plays `MIRROR` minus a MIDI number as the right hand would."""


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
    groups: dict[tuple[int, bool], list[int]] = {}
    for index, note in enumerate(notes):
        groups.setdefault((note.onset, note.is_grace), []).append(index)
    tops = [max(group, key=lambda index: notes[index].pitch.midi) for group in groups.values()]
    midis = [notes[index].pitch.midi for index in tops]
    line = best_fingering([MIRROR - midi for midi in midis] if hand is Hand.LEFT else midis)
    fingers = dict(zip(tops, line, strict=True))
    for group in groups.values():
        if len(group) > 1:
            ordered = sorted(group, key=lambda index: notes[index].pitch.midi)
            chord = finger_chord([notes[index].pitch for index in ordered], hand, profile)
            fingers.update(zip(ordered, chord, strict=True))
    return tuple(
        Fingered(note.finger, "the teacher's own finger")
        if note.finger is not None
        else Fingered(fingers[index], "the easiest way through the line")
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
    midis = sorted(pitch.midi if hand is Hand.RIGHT else MIRROR - pitch.midi for pitch in pitches)
    extra = max(0, len(midis) - len(FINGERS))
    played = midis[extra:]
    reach = profile.reach(hand)

    def strain(fingers: tuple[int, ...]) -> tuple[float, tuple[int, ...]]:
        points = 0.0
        for first in range(len(played)):
            for second in range(first + 1, len(played)):
                span = published_span(fingers[first], fingers[second])
                distance = (played[second] - played[first]) * 13 / max(13, reach)
                points += 2 * max(0.0, distance - span.most_comfortable, span.least_comfortable - distance)
                points += max(0.0, distance - span.most_relaxed, span.least_relaxed - distance)
        return points, fingers

    best = min(combinations(FINGERS, len(played)), key=strain)
    answer = (1,) * extra + best
    return answer if hand is Hand.RIGHT else answer[::-1]

"""Intervals: how far apart two names or pitches are, in letters and in semitones.

An interval counts diatonic steps (a third is 2 steps whatever its kind) and semitones (a major third is 4), so
that what is built with it keeps its spelling: a minor third above A♭ is C♭, not B (common practice).
"""

from __future__ import annotations

from typing import Final

from msgspec import Struct

from core.song.errors import DomainError
from core.song.pitch import LARGEST_ALTERATION, LETTERS, SEMITONES, NoteName, Pitch
from core.song.wording import say

MAJOR_SCALE: Final = (0, 2, 4, 5, 7, 9, 11)
"""Semitones of the major scale's degrees above its tonic."""


class Interval(Struct, frozen=True):
    """A spelled interval; negative numbers go down.

    Attributes:
        steps: diatonic steps: 0 a unison, 2 a third, 7 an octave, 8 a ninth.
        semitones: keys of the keyboard.
    """

    steps: int
    semitones: int

    def __neg__(self) -> Interval:
        return Interval(-self.steps, -self.semitones)

    def __add__(self, other: Interval) -> Interval:
        return Interval(self.steps + other.steps, self.semitones + other.semitones)

    @property
    def alteration(self) -> int:
        """Semitones wider than the major or perfect interval of the same steps (−1: minor or diminished)."""
        octaves, step = divmod(self.steps, 7)
        return self.semitones - 12 * octaves - MAJOR_SCALE[step]

    @classmethod
    def of_degree(cls, number: int, alteration: int = 0) -> Interval:
        """From a tonic up to a degree of its major scale, raised or lowered; degree 9 is the second an octave up."""
        octaves, step = divmod(number - 1, 7)
        return cls(number - 1, 12 * octaves + MAJOR_SCALE[step] + alteration)

    @classmethod
    def between(cls, low: Pitch, high: Pitch) -> Interval:
        """From one pitch to another."""
        return cls(high.staff_step - low.staff_step, high.midi - low.midi)


UNISON: Final = Interval(0, 0)
MINOR_SECOND: Final = Interval(1, 1)
MAJOR_SECOND: Final = Interval(1, 2)
MINOR_THIRD: Final = Interval(2, 3)
MAJOR_THIRD: Final = Interval(2, 4)
PERFECT_FOURTH: Final = Interval(3, 5)
AUGMENTED_FOURTH: Final = Interval(3, 6)
DIMINISHED_FIFTH: Final = Interval(4, 6)
PERFECT_FIFTH: Final = Interval(4, 7)
MINOR_SIXTH: Final = Interval(5, 8)
MAJOR_SIXTH: Final = Interval(5, 9)
DIMINISHED_SEVENTH: Final = Interval(6, 9)
MINOR_SEVENTH: Final = Interval(6, 10)
MAJOR_SEVENTH: Final = Interval(6, 11)
OCTAVE: Final = Interval(7, 12)


def above(name: NoteName, interval: Interval) -> NoteName:
    """The name an interval above another name; a negative interval goes down.

    Raises DomainError where the name would need more than a triple flat or sharp.
    """
    letter = LETTERS[(LETTERS.index(name.letter) + interval.steps) % 7]
    natural = SEMITONES[letter] - SEMITONES[name.letter]
    octaves = (LETTERS.index(name.letter) + interval.steps) // 7
    alteration = name.alteration + interval.semitones - natural - 12 * octaves
    if abs(alteration) > LARGEST_ALTERATION:
        value = say("{letter} altered by {semitones}", letter=letter, semitones=alteration)
        raise DomainError(say("a note's name"), value, say("no more than a triple flat or sharp"))
    return NoteName(letter, alteration)


def transpose(pitch: Pitch, interval: Interval) -> Pitch:
    """A pitch moved by an interval, spelled; a negative interval moves it down.

    Raises DomainError past a triple flat or sharp, or off the MIDI range.
    """
    octave, step = divmod(pitch.staff_step + interval.steps, 7)
    letter = LETTERS[step]
    alteration = pitch.midi + interval.semitones - 12 * (octave + 1) - SEMITONES[letter]
    return Pitch(letter, alteration, octave)


def simplest_name(pitch_class: int) -> NoteName:
    """The name of a key nearest to D on the line of fifths, between E♭ and G♯."""
    return NoteName.at_fifths((7 * pitch_class + 3) % 12 - 3)

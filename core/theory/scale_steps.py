"""Pitches some steps, semitones or octaves away from another, spelled as the key would have them."""

from __future__ import annotations

from typing import Final

from core.song.key import Key
from core.song.pitch import LETTERS, NoteName, Pitch
from core.theory.spelling import spell

STEPS_IN_OCTAVE: Final = len(LETTERS)
SEMITONES_IN_OCTAVE: Final = 12


def step_in_key(pitch: Pitch, steps: int, key: Key) -> Pitch:
    """The pitch some scale steps higher (negative: lower), as the key's signature has it.

    Raises DomainError past the end of every keyboard.
    """
    if not steps:
        return pitch
    octave, index = divmod(pitch.staff_step + steps, STEPS_IN_OCTAVE)
    return Pitch.of(key.altered(LETTERS[index]), octave)


def semitone_away(pitch: Pitch, semitones: int, key: Key) -> Pitch:
    """The pitch some semitones higher (negative: lower), spelled as the key would have it; octaves keep the name.

    A note of the scale has the scale's name, the leading note of a minor key is the seventh step raised, and any
    other white key is a natural: a note raised or lowered by hand has no others about it that would speak for B sharp.

    Raises DomainError past the end of every keyboard.
    """
    if semitones % SEMITONES_IN_OCTAVE == 0:
        return Pitch.named(pitch.name, pitch.midi + semitones) if semitones else pitch
    spelled = spell([pitch.midi + semitones], key)[0]
    names = (*key.scale, *_leading_notes(key), *(NoteName(letter) for letter in LETTERS))
    name = next((name for name in names if name.pitch_class == spelled.name.pitch_class), spelled.name)
    return Pitch.named(name, spelled.midi)


def _leading_notes(key: Key) -> tuple[NoteName, ...]:
    """The seventh step of a minor key as it leads to the tonic."""
    if not key.is_minor_like:
        return ()
    seventh = key.scale[-1]
    below = (key.tonic.pitch_class - seventh.pitch_class) % SEMITONES_IN_OCTAVE
    return (NoteName(seventh.letter, seventh.alteration + below - 1),)

"""Pitches some steps, semitones or octaves away from another, spelled as the key would have them."""

from __future__ import annotations

from typing import Final

from core.song.key import Key
from core.song.pitch import LETTERS, Pitch
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

    Raises DomainError past the end of every keyboard.
    """
    if semitones % SEMITONES_IN_OCTAVE == 0:
        return Pitch.named(pitch.name, pitch.midi + semitones) if semitones else pitch
    return spell([pitch.midi + semitones], key)[0]

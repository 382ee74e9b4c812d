"""How far one note is from another, as a teacher says it: a step, a half step, a third, an octave."""

from __future__ import annotations

from typing import Final

from msgspec import Struct

from core.song.wording import say_counted, say_in, to_say_in
from core.teaching.number_words import number_word, ordinal_word

STEP: Final = "step"
HALF_STEPS: Final = "half_steps"
OCTAVES: Final = "octaves"
NTH: Final = "nth"
_OCTAVE: Final = 7
"""Letters."""
_NAMES: Final = {
    3: to_say_in("interval", "a third"),
    4: to_say_in("interval", "a fourth"),
    5: to_say_in("interval", "a fifth"),
    6: to_say_in("interval", "a sixth"),
    7: to_say_in("interval", "a seventh"),
    9: to_say_in("interval", "a ninth"),
    10: to_say_in("interval", "a tenth"),
    11: to_say_in("interval", "an eleventh"),
    12: to_say_in("interval", "a twelfth"),
    13: to_say_in("interval", "a thirteenth"),
    14: to_say_in("interval", "a fourteenth"),
    16: to_say_in("interval", "a sixteenth"),
    17: to_say_in("interval", "a seventeenth"),
    18: to_say_in("interval", "an eighteenth"),
    19: to_say_in("interval", "a nineteenth"),
    20: to_say_in("interval", "a twentieth"),
}


class SpokenInterval(Struct, frozen=True):
    """An interval as it is said.

    Attributes:
        kind: `STEP`, `HALF_STEPS`, `OCTAVES`, or `NTH` for one that is named by how many letters it spans.
        count: how many half steps or octaves, or how many letters; 1 for a step.
    """

    kind: str
    count: int = 1

    @classmethod
    def of_letters(cls, steps: int) -> SpokenInterval:
        """The interval from a letter to the one so many steps further, at least 1."""
        if steps == 1:
            return cls(STEP)
        return cls(NTH, steps + 1) if steps % _OCTAVE else cls(OCTAVES, steps // _OCTAVE)

    @classmethod
    def between(cls, steps: int, semitones: int) -> SpokenInterval:
        """The interval between two keys.

        Args:
            steps: letters from one to the other, 0 or more.
            semitones: keys from one to the other, at least 1.
        """
        if steps > 1 or (steps and semitones in (1, 2)):
            return cls.of_letters(steps)
        return cls(HALF_STEPS, semitones)

    @property
    def is_step(self) -> bool:
        """Whether it is a step or a half step."""
        return self.kind == STEP or (self.kind == HALF_STEPS and self.count == 1)

    @property
    def said(self) -> str:
        """In words, such as ``a third`` or ``two octaves``."""
        if self.kind == STEP:
            # Translators: how far: fills “up {interval} to {note}” and “{interval} higher”, as all intervals do.
            return say_in("interval", "a step")
        if self.kind == NTH:
            name = _NAMES.get(self.count)
            if name is None:
                return say_in("interval", "a {ordinal}", ordinal=ordinal_word(self.count))
            return say_in("interval", name)
        if self.count == 1:
            return say_in("interval", "a half step") if self.kind == HALF_STEPS else say_in("interval", "an octave")
        number = number_word(self.count)
        if self.kind == HALF_STEPS:
            return say_counted("{number} half step", "{number} half steps", self.count, number=number)
        return say_counted("{number} octave", "{number} octaves", self.count, number=number)

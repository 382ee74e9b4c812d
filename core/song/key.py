"""Keys with modes: a tonic and a way to fill its octave.

The seven modes are placed on the line of fifths (common practice): lydian has one sharp more than major,
mixolydian one fewer, dorian two fewer, minor three fewer, phrygian four fewer, locrian five fewer.
"""

from __future__ import annotations

from enum import Enum
from functools import lru_cache
from typing import Final

from msgspec import Struct

from core.song.errors import DomainError
from core.song.pitch import LETTERS, NoteName
from core.song.wording import say, say_in, to_say, to_say_in


class Mode(Enum):
    """The modes; minor is the natural minor (its raised degrees are accidentals)."""

    MAJOR = "major"
    MINOR = "minor"
    DORIAN = "dorian"
    PHRYGIAN = "phrygian"
    LYDIAN = "lydian"
    MIXOLYDIAN = "mixolydian"
    LOCRIAN = "locrian"

    @classmethod
    def parse(cls, text: str) -> Mode:
        """Read a mode's name; ionian and aeolian are read as major and minor."""
        name = text.strip().lower()
        name = {"ionian": "major", "aeolian": "minor"}.get(name, name)
        try:
            return cls(name)
        except ValueError:
            raise DomainError(
                say("the mode of a key"), text, say("one of {names}", names=", ".join(mode.value for mode in cls))
            ) from None

    @property
    def said(self) -> str:
        """The mode by itself, to be chosen: ``major``, ``Dorian``."""
        return say_in("mode of a key", _MODES[self])


_MODES: Final = {
    Mode.MAJOR: to_say_in("mode of a key", "major"),
    Mode.MINOR: to_say_in("mode of a key", "minor"),
    Mode.DORIAN: to_say_in("mode of a key", "Dorian"),
    Mode.PHRYGIAN: to_say_in("mode of a key", "Phrygian"),
    Mode.LYDIAN: to_say_in("mode of a key", "Lydian"),
    Mode.MIXOLYDIAN: to_say_in("mode of a key", "Mixolydian"),
    Mode.LOCRIAN: to_say_in("mode of a key", "Locrian"),
}


FIFTHS_BELOW_MAJOR: Final = {
    Mode.LYDIAN: -1,
    Mode.MAJOR: 0,
    Mode.MIXOLYDIAN: 1,
    Mode.DORIAN: 2,
    Mode.MINOR: 3,
    Mode.PHRYGIAN: 4,
    Mode.LOCRIAN: 5,
}
"""How many sharps fewer than the major key on the same tonic a mode has."""

_NAMES: Final = {
    Mode.MAJOR: to_say("{tonic} major"),
    Mode.MINOR: to_say("{tonic} minor"),
    Mode.DORIAN: to_say("{tonic} Dorian"),
    Mode.PHRYGIAN: to_say("{tonic} Phrygian"),
    Mode.LYDIAN: to_say("{tonic} Lydian"),
    Mode.MIXOLYDIAN: to_say("{tonic} Mixolydian"),
    Mode.LOCRIAN: to_say("{tonic} Locrian"),
}

LARGEST_SIGNATURE: Final = 7


class Key(Struct, frozen=True):
    """A key: a tonic and a mode.

    Attributes:
        tonic: the first degree.
        mode: major, minor or another mode.
    """

    tonic: NoteName
    mode: Mode = Mode.MAJOR

    @classmethod
    def parse(cls, text: str) -> Key:
        """Read a key such as ``E dorian`` or ``Ab major``; raises DomainError for anything else."""
        tonic, _, mode = text.strip().partition(" ")
        return cls(NoteName.parse(tonic), Mode.parse(mode or "major"))

    @classmethod
    def of_signature(cls, fifths: int, mode: Mode = Mode.MAJOR) -> Key:
        """The key of a mode with a signature of `fifths` sharps (negative: flats)."""
        return cls(NoteName.at_fifths(fifths + FIFTHS_BELOW_MAJOR[mode]), mode)

    @property
    def fifths(self) -> int:
        """Sharps in the signature; negative for flats. May pass ±7 for keys nobody writes."""
        return self.tonic.fifths - FIFTHS_BELOW_MAJOR[self.mode]

    @property
    def scale(self) -> tuple[NoteName, ...]:
        """The seven degrees from the tonic up."""
        return _scale_of(self)

    def altered(self, letter: str) -> NoteName:
        """The note that this key's signature makes of a letter."""
        alteration = (self.fifths - NoteName(letter).fifths + 5) // 7
        return NoteName(letter, alteration)

    @property
    def is_minor_like(self) -> bool:
        """Whether the third above the tonic is minor."""
        return FIFTHS_BELOW_MAJOR[self.mode] >= FIFTHS_BELOW_MAJOR[Mode.DORIAN]

    @property
    def plain(self) -> str:
        """The name in letters that every keyboard has: ``Eb dorian``."""
        return f"{self.tonic.plain} {self.mode.value}"

    @property
    def symbol(self) -> str:
        """The name with musical signs and a capital mode outside major and minor: ``E♭ Dorian``."""
        return self.named(self.tonic.symbol)

    @property
    def spoken(self) -> str:
        """The name as it is said: ``E flat Dorian``."""
        return self.named(self.tonic.spoken)

    def named(self, tonic: str) -> str:
        """The name with another one for its tonic: ``Es major``, ``Mi flat Dorian``."""
        return say(_NAMES[self.mode], tonic=tonic)

    def __str__(self) -> str:
        return self.plain


class KeyChange(Struct, frozen=True):
    """A key from a moment of the song on.

    Attributes:
        onset: ticks from the song's start, 0 or more.
        key: the key from there on.
        given: False where the key was computed, not stated by the source.
    """

    onset: int
    key: Key
    given: bool = True


@lru_cache(maxsize=512)
def _scale_of(key: Key) -> tuple[NoteName, ...]:
    start = LETTERS.index(key.tonic.letter)
    letters = [LETTERS[(start + degree) % 7] for degree in range(7)]
    return tuple(key.altered(letter) for letter in letters)

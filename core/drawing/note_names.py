"""How a note is called on the sheet.

The ways of naming are common practice: letters with signs; the German names, where B flat is B and B is H; and the
fixed syllables of the Romance languages, counted from C as do.
"""

from __future__ import annotations

from enum import Enum
from typing import Final

from core.song.pitch import ACCIDENTAL_SIGNS, NoteName

_SYLLABLES: Final = {"C": "Do", "D": "Re", "E": "Mi", "F": "Fa", "G": "Sol", "A": "La", "B": "Si"}
_GERMAN_LETTERS: Final = {"B": "H"}
_GERMAN_EXCEPTIONS: Final = {("B", -1): "B", ("E", -1): "Es", ("A", -1): "As", ("E", -2): "Eses", ("A", -2): "Asas"}


class Naming(Enum):
    """A way of naming notes."""

    LETTERS = "letters"
    GERMAN = "german"
    SYLLABLES = "syllables"

    def of(self, name: NoteName) -> str:
        """The name as it is written in a bead: ``E♭``, ``Es`` or ``Mi♭``."""
        if self is Naming.LETTERS:
            return name.symbol
        if self is Naming.SYLLABLES:
            return _SYLLABLES[name.letter] + ACCIDENTAL_SIGNS[name.alteration]
        exception = _GERMAN_EXCEPTIONS.get((name.letter, name.alteration))
        if exception is not None:
            return exception
        letter = _GERMAN_LETTERS.get(name.letter, name.letter)
        if name.alteration < 0 and letter in "EA":
            return letter + "s" + "es" * (-name.alteration - 1)
        return letter + ("is" if name.alteration > 0 else "es") * abs(name.alteration)

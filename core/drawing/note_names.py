"""How a note is called on the sheet.

The ways of naming are common practice: letters with signs; the German names, where B flat is B and B is H; and the
fixed syllables of the Romance languages, counted from C as do.
"""

from __future__ import annotations

from enum import Enum

from core.song.pitch import NoteName
from core.teaching.naming import Names
from core.teaching.naming import Naming as Way


class Naming(Enum):
    """A way of naming notes."""

    LETTERS = "letters"
    GERMAN = "german"
    SYLLABLES = "syllables"

    def of(self, name: NoteName) -> str:
        """The name as it is written in a bead: ``E♭``, ``Es`` or ``Mi♭``."""
        return Names(Way(self.value)).shown(name)

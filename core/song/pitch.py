"""Spelled pitch: a letter, an alteration and an octave.

D flat and C sharp are two pitches on one key of the keyboard. Octaves are numbered scientifically: middle C
is C4 and MIDI number 60 (common practice; MIDI 1.0 numbers middle C 60). Alterations run from −3 to +3, since
the seventh of C flat diminished seventh is a B triple flat.
"""

from __future__ import annotations

import re
from typing import Final

from msgspec import Struct

from core.song.errors import DomainError
from core.song.wording import say, to_say

LETTERS: Final = "CDEFGAB"
"""The seven letters in the order of the white keys from C."""

SEMITONES: Final = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
"""Semitones of each letter above C."""

FIFTHS: Final = {"F": -1, "C": 0, "G": 1, "D": 2, "A": 3, "E": 4, "B": 5}
"""Place of each letter on the line of fifths, with C at 0."""

LETTERS_BY_FIFTHS: Final = "FCGDAEB"

LARGEST_ALTERATION: Final = 3

ACCIDENTAL_SIGNS: Final = {-3: "♭𝄫", -2: "𝄫", -1: "♭", 0: "", 1: "♯", 2: "𝄪", 3: "♯𝄪"}
_ALTERED: Final = {
    -3: to_say("{note} triple flat"),
    -2: to_say("{note} double flat"),
    -1: to_say("{note} flat"),
    1: to_say("{note} sharp"),
    2: to_say("{note} double sharp"),
    3: to_say("{note} triple sharp"),
}
_ALTERED_DEGREES: Final = {
    -3: to_say("triple flat {degree}"),
    -2: to_say("double flat {degree}"),
    -1: to_say("flat {degree}"),
    1: to_say("sharp {degree}"),
    2: to_say("double sharp {degree}"),
    3: to_say("triple sharp {degree}"),
}
_PLAIN_ACCIDENTALS: Final = {"b": -1, "♭": -1, "𝄫": -2, "#": 1, "♯": 1, "x": 2, "𝄪": 2, "♮": 0}
_PITCH: Final = re.compile(r"([A-Ga-g])([b♭𝄫#♯x𝄪♮]*)(-?\d+)")
_NAME: Final = re.compile(r"([A-Ga-g])([b♭𝄫#♯x𝄪♮]*)")


def _alteration_of(signs: str) -> int:
    return sum(_PLAIN_ACCIDENTALS[sign] for sign in signs)


def altered(note: str, alteration: int) -> str:
    """A note with its accidental in words: ``E flat``, ``Mi sharp``.

    Args:
        note: what the note is called without its accidental.
        alteration: −3 … +3.
    """
    return say(_ALTERED[alteration], note=note) if alteration else note


def altered_degree(degree: str, alteration: int) -> str:
    """A degree of a scale or chord with its alteration in words: ``flat three``, ``sharp eleven``.

    Args:
        degree: its number in a word.
        alteration: −3 … +3.
    """
    return say(_ALTERED_DEGREES[alteration], degree=degree) if alteration else degree


class NoteName(Struct, frozen=True):
    """A note's name without its octave, such as E flat.

    Attributes:
        letter: one of C D E F G A B.
        alteration: −3 (triple flat) … +3 (triple sharp).
    """

    letter: str
    alteration: int = 0

    def __post_init__(self) -> None:
        if self.letter not in SEMITONES:
            raise DomainError(say("the letter of a note"), self.letter, say("one of C, D, E, F, G, A, B"))
        if not -LARGEST_ALTERATION <= self.alteration <= LARGEST_ALTERATION:
            raise DomainError(say("the alteration of a note"), self.alteration, say("a whole number from -3 to 3"))

    @classmethod
    def parse(cls, text: str) -> NoteName:
        """Read a name such as ``Eb``, ``F#``, ``C♭♭``; raises DomainError for anything else."""
        found = _NAME.fullmatch(text.strip())
        if found is None:
            raise DomainError(say("a note's name"), text, say("a letter A to G with flats or sharps after it"))
        return cls(found[1].upper(), _alteration_of(found[2]))

    @classmethod
    def at_fifths(cls, fifths: int) -> NoteName:
        """The name at a place on the line of fifths, with C at 0, G at 1 and F at −1."""
        alteration, index = divmod(fifths + 1, 7)
        return cls(LETTERS_BY_FIFTHS[index], alteration)

    @property
    def fifths(self) -> int:
        """Place on the line of fifths, with C at 0."""
        return FIFTHS[self.letter] + 7 * self.alteration

    @property
    def pitch_class(self) -> int:
        """Semitones above C, 0 … 11."""
        return (SEMITONES[self.letter] + self.alteration) % 12

    @property
    def plain(self) -> str:
        """The name in letters that every keyboard has: ``Eb``, ``F#``, ``Bbb``."""
        return self.letter + ("#" * self.alteration if self.alteration > 0 else "b" * -self.alteration)

    @property
    def symbol(self) -> str:
        """The name with musical signs: ``E♭``, ``F♯``, ``B𝄫``."""
        return self.letter + ACCIDENTAL_SIGNS[self.alteration]

    @property
    def spoken(self) -> str:
        """The name as it is said: ``E flat``."""
        return altered(self.letter, self.alteration)

    def __str__(self) -> str:
        return self.plain


class Pitch(Struct, frozen=True):
    """A spelled pitch, such as the E flat above middle C.

    Attributes:
        letter: one of C D E F G A B.
        alteration: −3 … +3.
        octave: scientific octave number; middle C is in octave 4. The octave belongs to the letter, so that
            C flat 4 is a semitone below C4 and has MIDI number 59.
    """

    letter: str
    alteration: int
    octave: int

    def __post_init__(self) -> None:
        if self.letter not in SEMITONES:
            raise DomainError(say("the letter of a pitch"), self.letter, say("one of C, D, E, F, G, A, B"))
        if not -LARGEST_ALTERATION <= self.alteration <= LARGEST_ALTERATION:
            raise DomainError(say("the alteration of a pitch"), self.alteration, say("a whole number from -3 to 3"))
        if not 0 <= self.midi <= 127:
            raise DomainError(say("a pitch"), self.plain, say("between MIDI number 0 (C-1) and 127 (G9)"))

    @classmethod
    def parse(cls, text: str) -> Pitch:
        """Read a pitch such as ``E4``, ``Bb3`` or ``C#-1``; raises DomainError for anything else."""
        found = _PITCH.fullmatch(text.strip())
        if found is None:
            raise DomainError(say("a pitch"), text, say("a letter, flats or sharps, and an octave, such as Eb4"))
        return cls(found[1].upper(), _alteration_of(found[2]), int(found[3]))

    @classmethod
    def of(cls, name: NoteName, octave: int) -> Pitch:
        """The pitch with a name in an octave."""
        return cls(name.letter, name.alteration, octave)

    @classmethod
    def named(cls, name: NoteName, midi: int) -> Pitch:
        """The pitch on key `midi` spelled with `name`; raises DomainError if the name is of another key."""
        octave, rest = divmod(midi - SEMITONES[name.letter] - name.alteration, 12)
        if rest:
            raise DomainError(
                say("the name of a pitch"), name.plain, say("a name of the key with MIDI number {midi}", midi=midi)
            )
        return cls(name.letter, name.alteration, octave - 1)

    @property
    def midi(self) -> int:
        """MIDI number, 0 … 127; middle C is 60."""
        return 12 * (self.octave + 1) + SEMITONES[self.letter] + self.alteration

    @property
    def name(self) -> NoteName:
        """The pitch without its octave."""
        return NoteName(self.letter, self.alteration)

    @property
    def staff_step(self) -> int:
        """Diatonic steps above C0: E4 is 4·7 + 2. Neighbouring lines and spaces differ by one."""
        return 7 * self.octave + LETTERS.index(self.letter)

    @property
    def is_black(self) -> bool:
        """Whether the pitch is on a black key."""
        return self.midi % 12 in (1, 3, 6, 8, 10)

    @property
    def plain(self) -> str:
        """The pitch in letters that every keyboard has: ``Eb4``."""
        return f"{self.name.plain}{self.octave}"

    def in_octave(self, octave: int) -> Pitch:
        """The same name in another octave."""
        return Pitch(self.letter, self.alteration, octave)

    def __str__(self) -> str:
        return self.plain


MIDDLE_C: Final = Pitch("C", 0, 4)
LOWEST_PIANO_KEY: Final = 21
"""MIDI number of the lowest key of an 88-key piano, A0."""
HIGHEST_PIANO_KEY: Final = 108
"""MIDI number of the highest key of an 88-key piano, C8."""

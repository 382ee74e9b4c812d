"""What notes and chords are called, in every way of naming that a teacher may choose.

The ways of naming are common practice: letters, with their accidentals in words or as signs; the German names, where
B flat is B and B is H; the fixed syllables of the Romance languages, counted from C as do; and scale degrees, counted
in the key. Chords take their root's name, or the degree they stand on ('chord five seven', shown as a Roman numeral).
"""

from __future__ import annotations

from enum import Enum
from typing import Final

from msgspec import Struct

from core.song.chord import ChordSymbol
from core.song.errors import DomainError
from core.song.key import Key
from core.song.pitch import ACCIDENTAL_SIGNS, LARGEST_ALTERATION, NoteName, altered, altered_degree
from core.song.song import C_MAJOR, Song
from core.song.wording import say, say_counted
from core.teaching.number_words import number_word
from core.theory.chord_symbols import show_chord, spoken_chord
from core.theory.degrees import place_in_scale, roman, scale_degree

_SYLLABLES: Final = {"C": "Do", "D": "Re", "E": "Mi", "F": "Fa", "G": "Sol", "A": "La", "B": "Si"}
_GERMAN_EXCEPTIONS: Final = {("B", -1): "B", ("E", -1): "Es", ("A", -1): "As", ("E", -2): "Eses", ("A", -2): "Asas"}


class Naming(Enum):
    """A way of naming notes."""

    LETTERS = "letters"
    """E flat; E♭ where there is little room."""
    SIGNS = "signs"
    """E♭, also in the words."""
    GERMAN = "german"
    """Es, B for B flat, H for B."""
    SYLLABLES = "syllables"
    """Mi flat."""
    DEGREES = "degrees"
    """Three, flat seven: counted in the key."""

    @classmethod
    def named(cls, name: str) -> Naming:
        """A way of naming by its name; raises DomainError, which lists them, where there is none."""
        if name not in NAMINGS:
            raise DomainError(say("the way of naming notes"), name, say("one of {names}", names=", ".join(NAMINGS)))
        return cls(name)


NAMINGS: Final = tuple(naming.value for naming in Naming)
"""The names of the ways of naming, the usual one first."""


class Names(Struct, frozen=True):
    """The names of notes and chords in one way of naming.

    Attributes:
        naming: the way of naming.
        key: the key that scale degrees are counted in.
    """

    naming: Naming = Naming.LETTERS
    key: Key = C_MAJOR

    @classmethod
    def of_part(cls, song: Song, number: int, naming: Naming = Naming.LETTERS) -> Names:
        """The names for a part; degrees are counted in the key that it begins in."""
        return cls(naming, song.key_at(song.part_onsets[number - 1]))

    def said(self, name: NoteName) -> str:
        """A note's name in words to be said: ``E flat``, ``E♭``, ``Es``, ``Mi flat``, ``flat three``."""
        match self.naming:
            case Naming.LETTERS:
                return name.spoken
            case Naming.SIGNS:
                return name.symbol
            case Naming.GERMAN:
                return german(name)
            case Naming.SYLLABLES:
                return altered(_SYLLABLES[name.letter], name.alteration)
        number, alteration = place_in_scale(name, self.key)
        return _spoken_degree(number_word(number), alteration)

    def shown(self, name: NoteName) -> str:
        """A note's name where there is little room: ``E♭``, ``Es``, ``Mi♭``, ``♭3``."""
        match self.naming:
            case Naming.LETTERS | Naming.SIGNS:
                return name.symbol
            case Naming.GERMAN:
                return german(name)
            case Naming.SYLLABLES:
                return _SYLLABLES[name.letter] + ACCIDENTAL_SIGNS[name.alteration]
        return scale_degree(name, self.key)

    def chord_said(self, symbol: ChordSymbol) -> str:
        """A chord's name in words to be said: ``E flat minor seven``, ``Es minor seven``, ``chord three minor``."""
        if self.naming is not Naming.DEGREES or symbol.is_silent:
            return spoken_chord(symbol, self.said)
        return say("chord {chord}", chord=spoken_chord(symbol, self.said))

    def chord_shown(self, symbol: ChordSymbol) -> str:
        """A chord's name where there is little room: ``E♭m7``, ``Esm7``, ``Mi♭m7``, ``iii7``."""
        if self.naming is Naming.DEGREES:
            return roman(symbol, self.key)
        return show_chord(symbol, self.shown)

    def key_said(self, key: Key) -> str:
        """A key in words to be said: ``E flat major``, ``Es major``; a key has no degree, so that it is in letters."""
        return key.named(self.places.said(key.tonic))

    def key_shown(self, key: Key) -> str:
        """A key where there is little room: ``E♭ major``."""
        return key.named(self.places.shown(key.tonic))

    @property
    def middle_c(self) -> str:
        """Middle C as it is said beside this way of naming."""
        return say("middle Do") if self.naming is Naming.SYLLABLES else say("middle C")

    @property
    def places(self) -> Names:
        """The names that a place on the keyboard is given by: degrees lie nowhere, so it is letters for them."""
        return Names() if self.naming is Naming.DEGREES else self


LETTER_NAMES: Final = Names()


def german(name: NoteName) -> str:
    """The German name: ``Es``, ``Fis``, ``B`` for B flat, ``H`` for B."""
    exception = _GERMAN_EXCEPTIONS.get((name.letter, name.alteration))
    if exception is not None:
        return exception
    letter = "H" if name.letter == "B" else name.letter
    if name.alteration < 0 and letter in "EA":
        return letter + "s" + "es" * (-name.alteration - 1)
    return letter + ("is" if name.alteration > 0 else "es") * abs(name.alteration)


def _spoken_degree(degree: str, alteration: int) -> str:
    if abs(alteration) <= LARGEST_ALTERATION:
        return altered_degree(degree, alteration)
    times, number = abs(alteration), number_word(abs(alteration))
    if alteration > 0:
        return say_counted(
            "{number} time sharp {degree}", "{number} times sharp {degree}", times, number=number, degree=degree
        )
    return say_counted(
        "{number} time flat {degree}", "{number} times flat {degree}", times, number=number, degree=degree
    )

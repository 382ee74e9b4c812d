"""The reader of chord symbols: a scanner that collects what it sees, and a step that makes a symbol of it."""

from __future__ import annotations

import re
from typing import Final, NoReturn

from msgspec import Struct, field

from core.song.chord import ALTERABLE, NO_CHORD, SUSPENDED, ChordSymbol, Degree, Quality
from core.song.errors import ChordSymbolError, DomainError
from core.song.pitch import NoteName
from core.song.wording import say, to_say
from core.theory.chord_writing import ALTERED_TONES
from core.theory.functional_chords import functional_chord

_NO_CHORD: Final = re.compile(r"(n\.?\s?c\.?|n/c|no\s?chord|none|tacet)", re.IGNORECASE)
_ROOT: Final = re.compile(r"[A-Ga-g][b♭𝄫#♯x𝄪♮]*")
_GERMAN_ROOT: Final = re.compile(r"([CDEFGAHcdefgah])isis|([CDEFGAHcdefgah])is|([CDGcdg])es|([AEae])s(?!us)|([Hh])")
"""German names that cannot be mistaken for English ones: H is B, Es is E flat, Cis is C sharp. B alone stays the
English B, since nothing in a symbol tells the two apart (common practice)."""
_GERMAN_SIGNS: Final = (2, 1, -1, -1, 0)
_SPACE: Final = re.compile(r"[\s,]+")
_MAJOR: Final = re.compile(r"major|[Mm]aj|MAJ|[Mm]a(?!d)|MA(?!D)|M(?![Ii])|[Δ△∆]|\^|j(?=\d)")
_MINOR: Final = re.compile(r"minor|[Mm]in|MIN|[Mm]i|MI|m|[-−–](?!5)")
_TRIANGLE: Final = "Δ△∆^"
_HALF: Final = re.compile(r"[øØ∅]|half[\s-]?dim(inished)?|hdim")
_DIMINISHED: Final = re.compile(r"diminished|[Dd]im|DIM|[°º˚]|o(?![mn])")
_AUGMENTED: Final = re.compile(r"augmented|[Aa]ug|AUG|\+(?!5)")
_DOMINANT: Final = re.compile(r"dom(inant)?")
_SUSPENDED: Final = re.compile(r"(?:[Ss]us(?:pended)?|SUS)\s?")
_SUSPENDED_BOTH: Final = re.compile(r"2[/\s]?(?:sus)?4|4[/\s]?(?:sus)?2")
_ALTERED: Final = re.compile(r"alt(ered)?")
_ADD: Final = re.compile(r"add(?:ed)?|ADD")
_OMIT: Final = re.compile(r"omit|no|without|subtract")
_SIX_NINE: Final = re.compile(r"6/9|6\s?\(9\)|6,9|69")
_NUMBER: Final = re.compile(r"13|12|11|10|[1-9]")
_ORDINAL: Final = re.compile(r"st|nd|rd|th")
_SIGNS: Final = {"b": -1, "♭": -1, "𝄫": -2, "-": -1, "−": -1, "#": 1, "♯": 1, "𝄪": 2, "+": 1, "♮": 0}
_SIGNED: Final = re.compile(r"([b♭𝄫#♯𝄪+♮-]+|−+)\s?(13|11|10|12|[1-9])")
_TRIAD_WORDS: Final = {
    Quality.MINOR: _MINOR,
    Quality.HALF_DIMINISHED: _HALF,
    Quality.DIMINISHED: _DIMINISHED,
    Quality.AUGMENTED: _AUGMENTED,
}


def read_chord(text: str) -> ChordSymbol:
    """Read a chord symbol; raises ChordSymbolError with the place of the fault."""
    if _NO_CHORD.fullmatch(text.strip()):
        return NO_CHORD
    return _Reader(text).read()


class _Reader(Struct):
    text: str
    place: int = 0
    root: NoteName = field(default_factory=lambda: NoteName("C"))
    triad: Quality | None = None
    suspended: Quality | None = None
    raised_fifth: bool = False
    major: bool = False
    dominant: bool = False
    extension: int | None = None
    alterations: list[Degree] = field(default_factory=list)
    added: list[Degree] = field(default_factory=list)
    omitted: list[int] = field(default_factory=list)
    bass: NoteName | None = None
    brackets: list[str] = field(default_factory=list)

    def fail(self, reason: str, place: int | None = None) -> NoReturn:
        raise ChordSymbolError(self.text, self.place if place is None else place, reason)

    def take(self, pattern: re.Pattern[str]) -> re.Match[str] | None:
        found = pattern.match(self.text, self.place)
        if found is not None:
            self.place = found.end()
        return found

    @property
    def rest(self) -> str:
        return self.text[self.place :]

    def read(self) -> ChordSymbol:
        self.take(_SPACE)
        self.root = self.name(to_say("a root from A to G is expected"))
        functional = functional_chord(self.rest.strip(), self.root)
        if functional is not None:
            return functional
        while True:
            self.take(_SPACE)
            if not self.rest:
                break
            self.token()
        if self.brackets:
            self.fail(say("a closing {bracket} is expected", bracket=self.brackets[-1]))
        return self.symbol()

    def name(self, expected: str) -> NoteName:
        start = self.place
        if german := self.take(_GERMAN_ROOT):
            letter, sign = next(pair for pair in zip(german.groups(), _GERMAN_SIGNS, strict=True) if pair[0])
            return NoteName("B" if letter in "Hh" else letter.upper(), sign)
        found = self.take(_ROOT)
        if found is None:
            self.fail(say(expected))
        try:
            return NoteName.parse(found[0])
        except DomainError:
            self.fail(say("no more than a triple flat or sharp is expected"), start + 1)

    def token(self) -> None:
        """Take the next piece of the symbol."""
        if self.bass is not None:
            if self.rest[0] in ")]" and self.brackets:
                self.bracket()
                return
            self.fail(say("the end is expected after the bass note (two chords at once are not read)"))
        for taken in (
            self.bracket,
            self.slash,
            self.addition,
            self.omission,
            self.altered,
            self.suspension,
            self.signed,
            self.sevenths,
            self.family,
            self.number,
        ):
            if taken():
                return
        if self.rest[0] in "|\\":
            self.fail(say("one chord is expected (two chords at once are not read)"))
        self.fail(say("“{sign}” is not understood", sign=self.rest[0]))

    def bracket(self) -> bool:
        sign = self.rest[0]
        if sign in "([":
            self.brackets.append(")" if sign == "(" else "]")
        elif sign in ")]":
            if not self.brackets or self.brackets[-1] != sign:
                self.fail(say("there is no bracket to close"))
            self.brackets.pop()
        else:
            return False
        self.place += 1
        return True

    def slash(self) -> bool:
        if self.rest[0] != "/":
            return False
        self.place += 1
        self.take(_SPACE)
        if found := self.take(_NUMBER):
            self.add(int(found[0]), 0, found.start())
        elif self.triad is Quality.MINOR and self.extension is None and _MAJOR.match(self.text, self.place):
            self.sevenths()
        else:
            self.bass = self.name(to_say("a bass note from A to G is expected"))
        return True

    def addition(self) -> bool:
        if not self.take(_ADD):
            return False
        while True:
            self.take(_SPACE)
            start = self.place
            if self.take(_MAJOR):
                found = self.take(_NUMBER)
                if found is None or found[0] != "7":
                    self.fail(say("a 7 is expected after “maj” in an added tone"))
                self.added.append(Degree(7, 1))
            elif signed := self.take(_SIGNED):
                self.added.append(self.degree(signed, start))
            elif found := self.take(_NUMBER):
                self.add(int(found[0]), 0, start)
            elif self.rest[:1] in ("(", "["):
                self.bracket()
                continue
            else:
                self.fail(say("the degree of an added tone is expected, such as add9"))
            if not re.match(r"\s*,\s*[\db♭#♯]", self.rest):
                return True

    def add(self, number: int, alteration: int, place: int) -> None:
        try:
            self.added.append(Degree(number, alteration))
        except DomainError:
            self.fail(say("a degree from 1 to 13 is expected"), place)

    def omission(self) -> bool:
        if not self.take(_OMIT):
            return False
        while True:
            self.take(_SPACE)
            if self.rest[:1] in ("(", "["):
                self.bracket()
            found = self.take(_NUMBER)
            if found is None:
                self.fail(say("the degree of an omitted tone is expected, such as no3"))
            self.omitted.append(int(found[0]))
            self.take(_ORDINAL)
            if not re.match(r"\s*,\s*\d", self.rest):
                return True

    def altered(self) -> bool:
        start = self.place
        if not self.take(_ALTERED):
            return False
        if self.triad is not None or self.suspended is not None or self.major or self.extension not in (None, 7):
            self.fail(say("“alt” is expected after a root or a 7"), start)
        self.extension = 7
        self.alterations.extend(ALTERED_TONES)
        return True

    def suspension(self) -> bool:
        start = self.place
        if not self.take(_SUSPENDED):
            return False
        if self.suspended is not None or self.triad in (Quality.DIMINISHED, Quality.HALF_DIMINISHED, Quality.POWER):
            self.fail(say("a suspension has no place here"), start)
        self.suspended = Quality.SUSPENDED_FOURTH
        if self.take(_SUSPENDED_BOTH):
            self.added.append(Degree(2))
        elif self.rest[:1] == "2":
            self.place += 1
            if re.match(r"\s?sus4", self.rest):
                self.place += self.rest.index("4") + 1
                self.added.append(Degree(2))
            else:
                self.suspended = Quality.SUSPENDED_SECOND
        elif self.rest[:1] == "4":
            self.place += 1
            if re.match(r"\s?sus2", self.rest):
                self.place += self.rest.index("2") + 1
                self.added.append(Degree(2))
        return True

    def signed(self) -> bool:
        """Take an altered degree (b9, #11, -5 after a family or number)."""
        fresh = self.extension is None and self.triad is None and self.suspended is None and not self.major
        if fresh and self.rest[0] in "+-−" and not self.brackets and not re.match(r"[+−-]5(?!\d)", self.rest):
            return False
        start = self.place
        found = self.take(_SIGNED)
        if found is None:
            return False
        degree = self.degree(found, start)
        if degree.number == 7:
            self.fail(say("the seventh follows from the chord's family (write maj7, 7 or dim7)"), start)
        if degree.number not in ALTERABLE:
            self.fail(say("an alteration of 2, 3, 4, 5, 6, 9, 11 or 13 is expected"), start)
        if degree.alteration == 0:
            self.added.append(degree)
        else:
            self.alterations.append(degree)
        return True

    def degree(self, found: re.Match[str], place: int) -> Degree:
        number, alteration = int(found[2]), sum(_SIGNS[sign] for sign in found[1])
        if number == 7:
            alteration += 1
        try:
            return Degree(number, alteration)
        except DomainError:
            self.fail(say("no more than a double flat or sharp is expected"), place)

    def sevenths(self) -> bool:
        """Take 'major', and the seventh or higher degree that it makes major."""
        start = self.place
        found = self.take(_MAJOR)
        if found is None:
            return False
        if self.major or self.dominant or self.extension not in (None, 5):
            self.fail(say("“maj” has no place here"), start)
        self.take(re.compile(r"\s?\(?(?=7\))|\s"))
        number = re.match(r"(13|11|9|7)(?!\d)", self.rest)
        if number is None and (self.triad is not None or self.suspended is not None) and found[0] not in _TRIANGLE:
            self.fail(say("a 7, 9, 11 or 13 is expected after “maj”"))
        if number is None and found[0] in _TRIANGLE:
            self.extension = 7
        elif number is not None:
            self.place += number.end()
            self.extension = int(number[0])
            if self.text[start : self.place].count("(") and self.take(re.compile(r"\)")) is None:
                self.fail(say("a closing bracket is expected"))
        self.major = True
        return True

    def family(self) -> bool:
        """Take a triad's family."""
        start = self.place
        if self.take(_DOMINANT):
            if self.triad is not None or self.suspended is not None or self.extension is not None:
                self.fail(say("“dominant” has no place here"), start)
            self.dominant = True
            return True
        for quality, pattern in _TRIAD_WORDS.items():
            if not self.take(pattern):
                continue
            if quality is Quality.AUGMENTED and (self.triad is Quality.MINOR or self.suspended or self.extension):
                self.raised_fifth = True
                return True
            if self.triad is not None or self.suspended is not None or self.dominant or self.extension is not None:
                self.fail(say("a second family of chord has no place here"), start)
            if self.major and quality is not Quality.AUGMENTED:
                self.fail(say("a second family of chord has no place here"), start)
            self.triad = quality
            return True
        return False

    def number(self) -> bool:
        """Take a bare number: the extension, or inside brackets an added degree."""
        start = self.place
        if self.extension is None and self.take(_SIX_NINE):
            self.extension = 6
            self.added.append(Degree(9))
            return True
        found = self.take(_NUMBER)
        if found is None:
            return False
        number = int(found[0])
        if self.brackets and (self.extension is not None or number not in (6, 7)):
            self.add(number, 0, start)
        elif self.extension is not None or self.alterations:
            self.fail(say("a second number has no place here (added tones are written add9)"), start)
        elif number in (2, 4) and self.suspended is None:
            self.added.append(Degree(number))
        elif number == 5 and self.triad is None and self.suspended is None and not self.major:
            self.triad, self.extension = Quality.POWER, 5
        elif number in (6, 7, 9, 11, 13):
            self.extension = number
            if number >= 7 and (late := self.take(re.compile(r"M(?!I)|[Mm]aj"))) is not None:
                if self.major or self.dominant:
                    self.fail(say("“maj” has no place here"), late.start())
                self.major = True
        else:
            self.fail(say("6, 7, 9, 11 or 13 is expected"), start)
        return True

    def symbol(self) -> ChordSymbol:
        """Make a symbol of what was collected."""
        extension = self.extension or 5
        if self.dominant and extension < 7:
            extension = 7
        alterations = list(self.alterations)
        if self.raised_fifth:
            alterations.append(Degree(5, 1))
        quality = self.triad or (Quality.MAJOR if self.major or extension < 7 else Quality.DOMINANT)
        seventh = self.major and extension >= 7
        if self.suspended is not None:
            if seventh:
                alterations.append(Degree(7, 1))
            if self.triad is Quality.AUGMENTED:
                alterations.append(Degree(5, 1))
            quality = self.suspended
        elif quality is Quality.HALF_DIMINISHED:
            if seventh:
                self.fail(say("a half-diminished chord has a minor seventh"))
            extension = max(extension, 7)
        elif seventh and quality is Quality.MINOR:
            quality = Quality.MINOR_MAJOR
        elif seventh and quality is Quality.DIMINISHED:
            quality = Quality.MINOR_MAJOR
            alterations.append(Degree(5, -1))
        elif seventh and quality is Quality.AUGMENTED:
            quality = Quality.MAJOR
            alterations.append(Degree(5, 1))
        if quality in SUSPENDED and self.triad is Quality.HALF_DIMINISHED:
            self.fail(say("a suspension has no place here"))
        return ChordSymbol(
            self.root, quality, extension, tuple(alterations), tuple(self.added), tuple(self.omitted), self.bass
        )

"""Reading English words that are to be said: notes, chords and lengths that they name, with their places in the text.

Names are read in every way of naming; where scale degrees are said, a number that counts something (beats, notes,
times, bars) is no degree. Chords, and what counts, are known in English alone: where another language is spoken, no
chords and no degrees are read.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from fractions import Fraction
from functools import lru_cache
from itertools import product
from typing import Final

from msgspec import Struct

from core.song.pitch import LETTERS, NoteName
from core.song.wording import in_english
from core.teaching.naming import Names, Naming
from core.teaching.number_words import NUMBERS_IN_ENGLISH

NUMBERS: Final = {word: count for count, word in enumerate(NUMBERS_IN_ENGLISH) if count}
TIMES: Final = {"once": 1, "twice": 2, **{f"{word} times": count for word, count in NUMBERS.items()}}
NUMBER: Final = rf"(?:{'|'.join(sorted(NUMBERS, key=len, reverse=True))}|\d+)"
_FRACTIONS: Final = {
    "half": Fraction(1, 2),
    "third": Fraction(1, 3),
    "two thirds": Fraction(2, 3),
    "quarter": Fraction(1, 4),
    "three quarters": Fraction(3, 4),
}
_LENGTH: Final = re.compile(
    rf"\b(?P<about>about )?(?:(?P<part>half a|a third of a|two thirds of a|a quarter of a|three quarters of a) "
    rf"(?:beat|count)|(?P<whole>a|{NUMBER}) (?:beat|count)s?"
    r"(?: and (?P<rest>a half|a third|two thirds|a quarter|three quarters))?)(?![\w-])",
    re.IGNORECASE,
)
_QUALITY_NUMBER: Final = r"(?:two|four|five|six|seven|nine|eleven|thirteen)"
_QUALITY: Final = (
    r"(?: minor| major| augmented| diminished| half-diminished| dominant| altered| sus (?:two|four)| add| no \w+"
    rf"|(?: double| triple)? (?:flat|sharp) {_QUALITY_NUMBER}"
    rf"| {_QUALITY_NUMBER}(?! (?:times|beats?|counts?|notes?|more|chords?|bars?|thirds?|quarters?)\b))"
)
_NOT_AN_INTERVAL: Final = r"(?! (?:second|third|sixth|seventh|scale|key)\b)"
_NOT_A_NOTE: Final = (
    r"(?:(?<=^)|(?<=[.!?:;] ))(?:A|As|Do|Es|Si|La)(?= (?!flat|sharp|double|again|for|and|then|to|on)[a-z])"
)
_END: Final = re.compile(r"[.!?](?=\s|$)")
_COUNTS: Final = re.compile(
    rf"\b(?:(?:beat|count|bar|part|finger|count|of) {NUMBER}\b"
    rf"|{NUMBER} (?:times|notes?|chords?|octaves?|fingers?|hands?|parts?|bars?|more|(?:half )?steps?|keys?|in a bar"
    r"|after|by)\b)",
    re.IGNORECASE,
)


class NoteMention(Struct, frozen=True):
    """A note's name in the text.

    Attributes:
        start: place of its first character.
        end: place behind its last character.
        said: as it stands there.
        name: the note.
    """

    start: int
    end: int
    said: str
    name: NoteName


class ChordMention(Struct, frozen=True):
    """A chord's name in the text.

    Attributes:
        start: place of its first character.
        end: place behind its last character.
        said: as it stands there.
        root: its root.
        family: what is said behind its root.
    """

    start: int
    end: int
    said: str
    root: NoteName
    family: str


class LengthMention(Struct, frozen=True):
    """A length in the text.

    Attributes:
        start: place of its first character.
        end: place behind its last character.
        said: as it stands there.
        counts: beats or counts.
        is_about: whether it is said to be rounded.
    """

    start: int
    end: int
    said: str
    counts: Fraction
    is_about: bool


class ScriptReading(Struct, frozen=True):
    """What a text names, in order.

    Attributes:
        text: the text.
        notes: notes, those inside the names of chords not counted.
        chords: chords.
        lengths: lengths.
        ends: places of the marks that end its sentences.
    """

    text: str
    notes: tuple[NoteMention, ...]
    chords: tuple[ChordMention, ...]
    lengths: tuple[LengthMention, ...]
    ends: tuple[int, ...]

    def sentence(self, place: int) -> tuple[int, int]:
        """Where the sentence around a place begins and ends."""
        index = bisect_right(self.ends, place)
        start = self.ends[index - 1] + 1 if index else 0
        return start, self.ends[index] if index < len(self.ends) else len(self.text)


def read_script(text: str, names: Names) -> ScriptReading:
    """What a text names in a way of naming."""
    spelled = _spelled(names)
    name, chord = _patterns(names)
    lengths = tuple(
        LengthMention(found.start(), found.end(), found[0], _counts(found), found["about"] is not None)
        for found in _LENGTH.finditer(text)
    )
    ends = tuple(found.start() for found in _END.finditer(text))
    if names.naming is Naming.DEGREES and not in_english():
        return ScriptReading(text, (), (), lengths, ends)
    chords = tuple(
        ChordMention(found.start(), found.end(), found[0], spelled[found["root"]], found["family"])
        for found in chord.finditer(text)
        if in_english()
    )
    bare = chord.sub(_blank, text)
    bare = re.sub(_NOT_A_NOTE, _blank, bare).replace(names.middle_c, "_" * len(names.middle_c))
    if names.naming is Naming.DEGREES:
        bare = _COUNTS.sub(_blank, _LENGTH.sub(_blank, bare))
    notes = tuple(
        NoteMention(found.start(), found.end(), found[0], spelled[found[0]]) for found in re.finditer(name, bare)
    )
    return ScriptReading(text, notes, chords, lengths, ends)


def count_of(word: str) -> int | None:
    """A number in words or figures; None for anything else."""
    return int(word) if word.isdecimal() else NUMBERS.get(word.lower())


@lru_cache(maxsize=64)
def _patterns(names: Names) -> tuple[re.Pattern[str], re.Pattern[str]]:
    """What finds a note's name, and a chord's."""
    called = "|".join(map(re.escape, sorted(_spelled(names), key=len, reverse=True)))
    name = rf"(?<![\w♭♯])(?:{called})(?![\w♭♯𝄫𝄪'’])"
    opens = "[Cc]hord " if names.naming is Naming.DEGREES else ""
    family = rf"(?:{_QUALITY})+(?: over {name})?| over {name}"
    return re.compile(name), re.compile(rf"{opens}(?P<root>{name})(?P<family>{family}){_NOT_AN_INTERVAL}")


@lru_cache(maxsize=64)
def _spelled(names: Names) -> dict[str, NoteName]:
    """Every name that notes may be called by; degrees also at the start of a sentence."""
    found: dict[str, NoteName] = {}
    for letter, alteration in product(LETTERS, sorted(range(-3, 4), key=abs)):
        note = NoteName(letter, alteration)
        said = names.said(note)
        found.setdefault(said, note)
        if names.naming is Naming.DEGREES:
            found.setdefault(said[:1].upper() + said[1:], note)
    return found


def _blank(found: re.Match[str]) -> str:
    return "_" * len(found[0])


def _counts(found: re.Match[str]) -> Fraction:
    if found["part"] is not None:
        return _fraction(found["part"].lower().removesuffix(" a").removesuffix(" of"))
    whole = 1 if found["whole"].lower() == "a" else count_of(found["whole"]) or 0
    return whole + (_fraction(found["rest"].lower()) if found["rest"] else Fraction(0))


def _fraction(words: str) -> Fraction:
    return _FRACTIONS[words.removeprefix("a ")]

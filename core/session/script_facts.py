"""What is found in words, and what lengths and places in them are held against."""

from __future__ import annotations

import re
from collections import Counter
from fractions import Fraction
from typing import Final

from msgspec import Struct

from core.session.script_patterns import place_pattern
from core.session.script_reading import LengthMention
from core.song.metre import Metre
from core.song.note import Note
from core.song.part import Part
from core.song.pitch import LETTERS, NoteName, Pitch
from core.song.song import Song
from core.song.wording import in_english, say
from core.teaching.counting import Counting
from core.teaching.keyboard_places import keyboard_place
from core.teaching.naming import Names, Naming
from core.teaching.spoken_rhythm import SpokenLength, spoken_lengths

ENOUGH_NAMED: Final = 0.5
"""Words that name a smaller share of the part than this do not mean to name all of it."""


class Finding(Struct, frozen=True):
    """Something in the words that the part does not bear out.

    Attributes:
        start: place of its first character in the text.
        end: place behind its last character.
        sentence: what is wrong, for the teacher.
    """

    start: int
    end: int
    sentence: str


class PartFacts(Struct, frozen=True):
    """A part as words about it are read.

    Attributes:
        song: the song.
        number: the part's number.
        names: what notes and chords are called in the words.
        melody: its melody notes, grace notes too.
        rhythm: of each melody note as it is said; None for a grace note.
        metre: the metre that it begins in.
        numbered: of each melody note, by identity, the how-manyth of its name it is, and of how many.
    """

    song: Song
    number: int
    names: Names
    melody: tuple[Note, ...]
    rhythm: tuple[SpokenLength | None, ...]
    metre: Metre
    numbered: dict[int, tuple[int, int]]

    @classmethod
    def of(cls, song: Song, number: int, naming: Naming) -> PartFacts:
        """The facts of a part."""
        metre = song.metre_at(song.part_onsets[number - 1])
        melody = song.part(number).melody
        sounding = [note for note in melody if not note.is_grace]
        said = iter(spoken_lengths(sounding, Counting.of(metre)))
        rhythm = tuple(None if note.is_grace else next(said) for note in melody)
        of = Counter(note.pitch.name for note in melody)
        seen: Counter[NoteName] = Counter()
        numbered: dict[int, tuple[int, int]] = {}
        for note in melody:
            seen[note.pitch.name] += 1
            numbered[id(note)] = (seen[note.pitch.name], of[note.pitch.name])
        return cls(song, number, Names.of_part(song, number, naming), tuple(melody), rhythm, metre, numbered)

    @property
    def part(self) -> Part:
        """The part."""
        return self.song.part(self.number)

    @property
    def counting(self) -> Counting:
        """How its metre is counted."""
        return Counting.of(self.metre)

    def fits(self, said: LengthMention, *durations: int) -> bool:
        """Whether a length in the words is one of these, in ticks; beats of a compound metre may be meant as dotted."""
        counting = self.counting
        units = {counting.ticks, self.metre.beat_ticks} if "beat" in said.said.lower() else {counting.ticks}
        for duration in durations:
            plain = counting.plain(duration)
            for unit in units:
                off = abs(Fraction(plain, unit) - said.counts)
                if not off or (said.is_about and off <= Fraction(1, 4)):
                    return True
        return False

    def length_words(self, duration: int) -> str:
        """A length as it is said."""
        return self.counting.words(duration)

    def places(self, text: str) -> tuple[re.Match[str], ...]:
        """The places on the keyboard that are told in a text, such as 'second E above middle C'; in English alone."""
        if not in_english():
            return ()
        names = self.names.places
        called = {names.said(NoteName(letter, by)) for letter in LETTERS for by in range(-2, 3)}
        name = "|".join(map(re.escape, sorted(called, key=len, reverse=True)))
        return tuple(re.finditer(place_pattern(name, names.middle_c), text))

    def place_finding(self, told: re.Match[str], pitch: Pitch) -> Finding | None:
        """What is wrong with the place that is told of a note; None where it is right."""
        right = keyboard_place(pitch, self.names)
        if told[0] == right:
            return None
        sentence = say("The words place it at the {told}, but it is the {place}.", told=told[0], place=right)
        return Finding(told.start(), told.end(), sentence)


def sounds_like(name: NoteName, other: NoteName) -> bool:
    """Whether two names are two for one key of the keyboard."""
    return name != other and name.pitch_class == other.pitch_class

"""What to say for both hands together where the left one is written out: what it strikes with a melody note, and alone.

Notes that are struck together are told by the melody note, as a chord's landing is; what the left hand strikes
between is named too, or counted where it is much.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from itertools import groupby
from typing import Final

from msgspec import Struct

from core.song.note import Hand, Note
from core.song.part import Part
from core.song.wording import say, say_counted
from core.teaching.counting import Counting
from core.teaching.naming import Names
from core.teaching.number_words import listed, number_word, times_word
from core.teaching.sentences import LONGEST_SENTENCE, capital, sentence, word_count
from core.teaching.strikes import Strike, is_octave, strikes, together_ticks

MOST_NAMED_ALONE: Final = 4
"""More notes than this that the left hand plays alone in a row are counted."""
MOST_IN_A_SENTENCE: Final = 3
"""Meetings with a melody note."""


class Meeting(Struct, frozen=True):
    """What the left hand strikes, and the melody note that is struck with it.

    Attributes:
        strike: the left hand's keys.
        note: the melody note, or None where the left hand moves alone.
    """

    strike: Strike
    note: Note | None


def meetings(part: Part, counting: Counting) -> tuple[Meeting, ...]:
    """What a left hand that is written out strikes in a part, in order, each with the melody note struck with it."""
    sounding = [note for note in part.melody if not note.is_grace]
    onsets = [note.onset for note in sounding]
    near = together_ticks(counting)
    found: list[Meeting] = []
    for strike in strikes(part.hand(Hand.LEFT), counting):
        place = bisect_left(onsets, strike.onset - near)
        met = place < len(onsets) and onsets[place] <= strike.onset + near
        found.append(Meeting(strike, sounding[place] if met else None))
    return tuple(found)


class WrittenTogether(Struct, frozen=True):
    """Both hands of a part being told.

    Attributes:
        met: what the left hand strikes.
        melody: how many moments the melody has.
        which: what each melody note that is met is called, told from others of its name.
        names: what notes are called.
    """

    met: tuple[Meeting, ...]
    melody: int
    which: dict[int, str]
    names: Names

    def sentences(self) -> list[str]:
        """How the hands go together, in sentences, where they meet anywhere."""
        together = [one for one in self.met if one.note is not None]
        if len(together) == len(self.met) == self.melody and len(self.met) > 1:
            first = together[0]
            told = say(
                "Both hands strike together on every note, from {left} with the {note} on.",
                left=self._named(first.strike),
                note=self._melody_note(first),
            )
            return [told]
        sentences: list[str] = []
        if len(together) == len(self.met):
            sentences.append(say("The left hand never moves alone."))
        elif len(together) == self.melody:
            sentences.append(say("Every right-hand note falls with the left hand."))
        phrases: list[str] = []
        opened = False
        meetings_told = 0
        for is_met, run in groupby(self.met, key=lambda one: one.note is not None):
            for phrase_of in map(self._met, run) if is_met else (self._alone([one.strike for one in run]),):
                further = phrase_of.further
                spoken = word_count([*phrases, further]) + len(phrases) + 1
                if phrases and (spoken > LONGEST_SENTENCE or (is_met and meetings_told >= MOST_IN_A_SENTENCE)):
                    sentences.append(_joined(phrases))
                    phrases, meetings_told = [], 0
                if phrases:
                    phrases.append(further)
                else:
                    phrases.append(say("then {landing}", landing=phrase_of.first) if opened else phrase_of.first)
                    opened = True
                meetings_told += is_met
        if phrases:
            sentences.append(_joined(phrases))
        return sentences

    def _met(self, one: Meeting) -> _Phrases:
        left, note = self._named(one.strike), self._melody_note(one)
        first = say_counted(
            "{left} falls with the {note}",
            "{left} fall with the {note}",
            1 if is_octave(one.strike) else len(one.strike.notes),
            left=left,
            note=note,
        )
        return _Phrases(first, say("{chord} with the {note}", chord=left, note=note))

    def _alone(self, struck: Sequence[Strike]) -> _Phrases:
        single = all(len(strike.notes) == 1 for strike in struck)
        if len(struck) == 1 or (single and len(struck) <= MOST_NAMED_ALONE):
            left = ", ".join(self._named(strike) for strike in struck) if single else self._named(struck[0])
            return _Phrases(say("the left hand plays {notes} alone", notes=left), say("{notes} alone", notes=left))
        number, count = number_word(len(struck)), len(struck)
        if single:
            return _Phrases(
                say_counted(
                    "the left hand plays {number} note alone",
                    "the left hand plays {number} notes alone",
                    count,
                    number=number,
                ),
                say_counted("{number} note alone", "{number} notes alone", count, number=number),
            )
        return _Phrases(
            say("the left hand strikes {times} alone", times=times_word(count)),
            say_counted("{number} stroke alone", "{number} strokes alone", count, number=number),
        )

    def _named(self, strike: Strike) -> str:
        if is_octave(strike):
            return struck_words(strike, self.names)
        return listed(self.names.said(note.pitch.name) for note in strike.notes)

    def _melody_note(self, one: Meeting) -> str:
        return self.which[id(one.note)]


def struck_words(strike: Strike, names: Names) -> str:
    """What is struck, as one thing that lands: 'C', 'the octave C', 'C with E and G'."""
    lowest = names.said(strike.lowest.pitch.name)
    if not strike.above:
        return lowest
    if is_octave(strike):
        return say("the octave {note}", note=lowest)
    return say("{note} with {others}", note=lowest, others=listed(names.said(note.pitch.name) for note in strike.above))


class _Phrases(Struct, frozen=True):
    """A phrase as it opens a sentence, and as it goes on."""

    first: str
    further: str


def _joined(phrases: Sequence[str]) -> str:
    told = phrases[0]
    for phrase in phrases[1:]:
        told = say("{landings}, then {landing}", landings=told, landing=phrase)
    return capital(sentence(told))

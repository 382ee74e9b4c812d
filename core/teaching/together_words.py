"""What to say for both hands together: which note each chord lands on, or how it lands alone."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from core.song.metre import bar_at
from core.song.note import Note
from core.song.pitch import NoteName
from core.song.song import Song
from core.song.wording import say, to_say
from core.teaching.counting import Counting
from core.teaching.landings import Landing, landings
from core.teaching.naming import LETTER_NAMES, Names
from core.teaching.number_words import BEAT, number_word
from core.teaching.sentences import LONGEST_SENTENCE, capital, sentence, word_count
from core.teaching.written_together_words import WrittenTogether, meetings, struck_words

COUNTED: Final = {1: to_say("first {note}"), 2: to_say("second {note}"), 3: to_say("third {note}")}
"""Nobody counts further while playing: later notes are told by their place in the bar."""
MOST_PLACED_ALONE: Final = 4
"""So many strokes of a written left hand that meets no melody note are told by the notes before and after them."""
MOST_IN_A_SENTENCE: Final = 2
"""Landings with a note; one that is alone is a sentence of its own."""


def together_words(song: Song, number: int, names: Names = LETTER_NAMES) -> str:
    """The computed words for both hands of a part; empty where one of them has nothing to play.

    Args:
        song: the song.
        number: part number from 1.
        names: what notes and chords are called.
    """
    part = song.part(number)
    if not part.melody:
        return ""
    words = _LandingWords(song, number, names)
    if not part.chords:
        return " ".join(words.written_left_hand())
    sentences: list[str] = []
    if part.chords[0].continued and not part.chords[0].symbol.is_silent:
        held = names.chord_said(part.chords[0].symbol)
        sentences.append(capital(say("{chord} is still down from part {part}.", chord=held, part=number - 1)))
    met: list[_Met] = []
    for landing in landings(part):
        if landing.note is None:
            sentences += _met_sentences(met, bool(sentences))
            met = []
            sentences += words.alone(landing, later=bool(sentences))
        else:
            met.append(words.met(landing, part.notes[landing.note]))
    sentences += _met_sentences(met, bool(sentences))
    return " ".join(sentences)


class _Met(Struct, frozen=True):
    """A landing with a note: the chord, and the note as it is told from others of its name."""

    chord: str
    note: str

    @property
    def first(self) -> str:
        """As the first landing of a sentence."""
        return say("{chord} lands with the {note}", chord=self.chord, note=self.note)

    @property
    def further(self) -> str:
        """As a later one."""
        return say("{chord} with the {note}", chord=self.chord, note=self.note)


def _met_sentences(met: Sequence[_Met], later: bool) -> list[str]:
    """Landings with a note in sentences of one breath, such as 'F lands with the first C, then C with the E'."""
    sentences: list[list[str]] = []
    for landing in met:
        told = [*sentences[-1], landing.further] if sentences else []
        spoken = word_count(told) + len(told) - 1
        if not told or len(told) > MOST_IN_A_SENTENCE or spoken >= LONGEST_SENTENCE:
            sentences.append([landing.first])
        else:
            sentences[-1] = told
    return [_met_sentence(landings, later or place > 0) for place, landings in enumerate(sentences)]


def _met_sentence(met: Sequence[str], later: bool) -> str:
    told = say("then {landing}", landing=met[0]) if later else met[0]
    for landing in met[1:]:
        told = say("{landings}, then {landing}", landings=told, landing=landing)
    return sentence(told)


class _LandingWords:
    """The landings of one part in words."""

    def __init__(self, song: Song, number: int, names: Names) -> None:
        self._song = song
        self._start = song.part_onsets[number - 1]
        self._part = song.part(number)
        self._names = names
        self._sounding = [note for note in self._part.melody if not note.is_grace]
        self._onsets = [note.onset for note in self._sounding]
        self._counting = Counting.of(song.metre_at(self._start))
        self._place: dict[int, int] = {}
        self._of: dict[NoteName, int] = {}
        for note in self._part.melody:
            self._of[note.pitch.name] = self._of.get(note.pitch.name, 0) + 1
            self._place[id(note)] = self._of[note.pitch.name]

    def written_left_hand(self) -> list[str]:
        """How a left hand that is written out goes with the melody, in sentences; none where it has no notes."""
        met = meetings(self._part, self._counting)
        which = {id(one.note): self._which(one.note) for one in met if one.note is not None}
        if not met or which:
            return WrittenTogether(met, len(set(self._onsets)), which, self._names).sentences() if met else []
        sentences = [say("No note of the left hand falls with a melody note.")]
        if len(met) <= MOST_PLACED_ALONE:
            for one in met:
                struck = struck_words(one.strike, self._names)
                sentences += self.alone_at(one.strike.onset, struck, later=len(sentences) > 1)
        return sentences

    def met(self, landing: Landing, note: Note) -> _Met:
        """The note that a chord lands with."""
        return _Met(self._chord(landing), self._which(note))

    def alone(self, landing: Landing, *, later: bool) -> list[str]:
        """How a chord lands alone, in one sentence, or two where it would be too long for a breath."""
        return self.alone_at(landing.onset, self._chord(landing), later=later)

    def alone_at(self, onset: int, chord: str, *, later: bool) -> list[str]:
        """The same for whatever is called a chord at a moment of the part."""
        held, following = self._around(onset)
        if following is not None:
            return self._before(onset, chord, held, following, later=later)
        if held is not None:
            text = (
                to_say("then {chord} lands alone, {length} into the {note}.")
                if later
                else to_say("{chord} lands alone, {length} into the {note}.")
            )
            length = self._counting.words(onset - held.onset)
            return [capital(say(text, chord=chord, length=length, note=self._which(held)))]
        if not self._sounding:
            text = to_say("then {chord} lands alone.") if later else to_say("{chord} lands alone.")
            return [capital(say(text, chord=chord))]
        text = (
            to_say("then {chord} lands alone, {length} after the {note}.")
            if later
            else to_say("{chord} lands alone, {length} after the {note}.")
        )
        last = self._sounding[-1]
        length = self._counting.words(onset - last.onset)
        return [capital(say(text, chord=chord, length=length, note=self._which(last)))]

    def _before(self, onset: int, chord: str, held: Note | None, following: Note, *, later: bool) -> list[str]:
        """How a chord lands alone before a note, while another one may be held."""
        coming = self._which(following)
        length = self._counting.words(following.onset - onset)
        if held is None:
            text = (
                to_say("then {chord} lands alone, {length} before the {note}.")
                if later
                else to_say("{chord} lands alone, {length} before the {note}.")
            )
            return [capital(say(text, chord=chord, length=length, note=coming))]
        text = (
            to_say("then {chord} lands alone while you hold the {held}, {length} before the {note}.")
            if later
            else to_say("{chord} lands alone while you hold the {held}, {length} before the {note}.")
        )
        whole = say(text, chord=chord, held=self._which(held), length=length, note=coming)
        if word_count([whole]) <= LONGEST_SENTENCE:
            return [capital(whole)]
        text = (
            to_say("then {chord} lands alone while you hold the {held}.")
            if later
            else to_say("{chord} lands alone while you hold the {held}.")
        )
        return [
            capital(say(text, chord=chord, held=self._which(held))),
            capital(say("{length} later comes the {note}.", length=length, note=coming)),
        ]

    def _chord(self, landing: Landing) -> str:
        return self._names.chord_said(self._part.chords[landing.chord].symbol)

    def _around(self, onset: int) -> tuple[Note | None, Note | None]:
        """The note that is held while a chord lands alone, and the one that comes next."""
        before, after = bisect_left(self._onsets, onset), bisect_right(self._onsets, onset)
        last = self._sounding[before - 1] if before else None
        held = last if last is not None and last.end > onset else None
        return held, self._sounding[after] if after < len(self._sounding) else None

    def _which(self, note: Note) -> str:
        """A melody note told from others of its name: 'C sharp', 'first E', 'last B', 'G on beat one of bar 4'."""
        name = self._names.said(note.pitch.name)
        place, of = self._place[id(note)], self._of[note.pitch.name]
        if of == 1:
            return name
        if place == of:
            return say("last {note}", note=name)
        if place in COUNTED:
            return say(COUNTED[place], note=name)
        bar = bar_at(self._song.bars, self._start + note.onset)
        whole, rest = divmod(self._start + note.onset - bar.onset, self._counting.ticks)
        if self._counting.noun == BEAT:
            text = (
                to_say("{note} just after beat {number} of bar {bar}")
                if rest
                else to_say("{note} on beat {number} of bar {bar}")
            )
        else:
            text = (
                to_say("{note} just after count {number} of bar {bar}")
                if rest
                else to_say("{note} on count {number} of bar {bar}")
            )
        return say(text, note=name, number=number_word(whole + 1), bar=bar.number)

"""What to say for both hands together: which note each chord lands on, or how it lands alone."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from typing import Final

from core.song.metre import bar_at
from core.song.note import Note
from core.song.pitch import NoteName
from core.song.song import Song
from core.teaching.counting import Counting
from core.teaching.landings import Landing, landings
from core.teaching.naming import LETTER_NAMES, Names
from core.teaching.number_words import number_word, ordinal_word
from core.teaching.sentences import LONGEST_SENTENCE, capital

LAST_COUNTED: Final = 3
"""Nobody counts further while playing: later notes are told by their place in the bar."""
MOST_IN_A_SENTENCE: Final = 2
"""Landings with a note; one that is alone is a sentence of its own."""


def together_words(song: Song, number: int, names: Names = LETTER_NAMES) -> str:
    """The computed words for both hands of a part; empty where it has no chords or no melody.

    Args:
        song: the song.
        number: part number from 1.
        names: what notes and chords are called.
    """
    part = song.part(number)
    if not part.chords or not part.melody:
        return ""
    words = _LandingWords(song, number, names)
    sentences: list[str] = []
    if part.chords[0].continued and not part.chords[0].symbol.is_silent:
        sentences.append(capital(f"{names.chord_said(part.chords[0].symbol)} is still down from part {number - 1}."))
    met: list[str] = []
    for landing in landings(part):
        if landing.note is None:
            sentences += _met_sentences(met, bool(sentences))
            met = []
            sentences += words.alone(landing, f"{'then ' if sentences else ''}")
        else:
            met.append(words.met(landing, part.notes[landing.note]))
    sentences += _met_sentences(met, bool(sentences))
    return " ".join(sentences)


def _met_sentences(met: Sequence[str], later: bool) -> list[str]:
    """Landings with a note in sentences of one breath, such as 'F lands with the first C, then C with the E'."""
    sentences: list[list[str]] = []
    for landing in met:
        shorter = landing.replace(" lands with ", " with ", 1)
        joined = [*sentences[-1], shorter] if sentences else []
        if not joined or len(joined) > MOST_IN_A_SENTENCE or len(" then ".join(joined).split()) >= LONGEST_SENTENCE:
            sentences.append([landing])
        else:
            sentences[-1] = joined
    return [
        capital(f"{'then ' if later or place else ''}{', then '.join(landings)}.")
        for place, landings in enumerate(sentences)
    ]


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

    def met(self, landing: Landing, note: Note) -> str:
        """The note that a chord lands with."""
        return f"{self._chord(landing)} lands with the {self._which(note)}"

    def alone(self, landing: Landing, then: str) -> list[str]:
        """How a chord lands alone, in one sentence, or two where it would be too long for a breath."""
        lands = f"{then}{self._chord(landing)} lands alone"
        held, following = self._around(landing.onset)
        if following is not None:
            distance = self._counting.words(following.onset - landing.onset)
            if held is None:
                return [capital(f"{lands}, {distance} before the {self._which(following)}.")]
            whole = f"{lands} while you hold the {self._which(held)}, {distance} before the {self._which(following)}."
            if len(whole.split()) <= LONGEST_SENTENCE:
                return [capital(whole)]
            return [
                capital(f"{lands} while you hold the {self._which(held)}."),
                capital(f"{distance} later comes the {self._which(following)}."),
            ]
        if held is not None:
            into = self._counting.words(landing.onset - held.onset)
            return [capital(f"{lands}, {into} into the {self._which(held)}.")]
        if not self._sounding:
            return [capital(f"{lands}.")]
        last = self._sounding[-1]
        return [capital(f"{lands}, {self._counting.words(landing.onset - last.onset)} after the {self._which(last)}.")]

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
            return f"last {name}"
        if place <= LAST_COUNTED:
            return f"{ordinal_word(place)} {name}"
        bar = bar_at(self._song.bars, self._start + note.onset)
        whole, rest = divmod(self._start + note.onset - bar.onset, self._counting.ticks)
        beat = f"{self._counting.noun} {number_word(whole + 1)}"
        return f"{name} {'just after' if rest else 'on'} {beat} of bar {bar.number}"

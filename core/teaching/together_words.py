"""What to say for both hands together: which note each chord lands on, or how it lands alone."""

from __future__ import annotations

from typing import Final

from core.song.metre import bar_at
from core.song.note import Note
from core.song.pitch import NoteName
from core.song.song import Song
from core.teaching.counting import Counting
from core.teaching.landings import Landing, landings
from core.teaching.naming import LETTER_NAMES, Names
from core.teaching.number_words import number_word, ordinal_word

LAST_COUNTED: Final = 3
"""Nobody counts further while playing: later notes are told by their place in the bar."""


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
        sentences.append(_capital(f"{names.chord_said(part.chords[0].symbol)} is still down from part {number - 1}."))
    for landing in landings(part):
        sentences.append(_capital(f"{'Then ' if sentences else ''}{words.of(landing)}."))
    return " ".join(sentences)


class _LandingWords:
    """The landings of one part in words."""

    def __init__(self, song: Song, number: int, names: Names) -> None:
        self._song = song
        self._start = song.part_onsets[number - 1]
        self._part = song.part(number)
        self._names = names
        self._melody = self._part.melody
        self._sounding = [note for note in self._melody if not note.is_grace]
        self._counting = Counting.of(song.metre_at(self._start))
        self._numbered: dict[int, tuple[int, int]] = {}
        seen: dict[NoteName, int] = {}
        for note in self._melody:
            seen[note.pitch.name] = seen.get(note.pitch.name, 0) + 1
            self._numbered[id(note)] = (seen[note.pitch.name], 0)
        for note in self._melody:
            self._numbered[id(note)] = (self._numbered[id(note)][0], seen[note.pitch.name])

    def of(self, landing: Landing) -> str:
        """What a chord lands with, or how it lands alone."""
        name = self._names.chord_said(self._part.chords[landing.chord].symbol)
        if landing.note is not None:
            return f"{name} lands with the {self._which(self._part.notes[landing.note])}"
        melody = self._sounding
        held = next((note for note in melody if note.onset < landing.onset < note.end), None)
        following = next((note for note in melody if note.onset > landing.onset), None)
        if following is not None:
            while_held = f" while you hold the {self._which(held)}" if held is not None else ""
            distance = self._counting.words(following.onset - landing.onset)
            return f"{name} lands alone{while_held}, {distance} before the {self._which(following)}"
        if held is not None:
            return (
                f"{name} lands alone, {self._counting.words(landing.onset - held.onset)} into the {self._which(held)}"
            )
        if not melody:
            return f"{name} lands alone"
        distance = self._counting.words(landing.onset - melody[-1].onset)
        return f"{name} lands alone, {distance} after the {self._which(melody[-1])}"

    def _which(self, note: Note) -> str:
        """A melody note told from others of its name: 'C sharp', 'first E', 'last B', 'G on beat one of bar 4'."""
        name = self._names.said(note.pitch.name)
        place, of = self._numbered[id(note)]
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


def _capital(sentence: str) -> str:
    return sentence[:1].upper() + sentence[1:]

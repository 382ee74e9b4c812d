"""What to say for the right hand: its notes in order, with directions, counts and waits.

Every note's name is said exactly once and in order, so that a learner can write the list down while listening,
and no other single capital letter is said but the C of 'middle C': the article 'a' never opens a sentence.
A breath is at most seven notes (short-term memory holds seven, plus or minus two: Miller 1956). A length that
several notes in a row share is said once, behind them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from core.song.note import Note
from core.song.song import Song
from core.teaching.counting import Counting, counting_sentence
from core.teaching.keyboard_places import placed_name
from core.teaching.melodic_moves import LEAP, SAME, TO_AND_FRO, Move, moves
from core.teaching.naming import LETTER_NAMES, Names
from core.teaching.number_words import number_word, times_word
from core.teaching.resemblance import Resemblance, resemblance
from core.teaching.sentences import LONGEST_SENTENCE, sentence_of, word_count
from core.teaching.spoken_rhythm import SpokenLength, spoken_lengths

LONGEST_BREATH: Final = 7
LEAST_FOR_USUAL: Final = 4
"""Among fewer notes each length is said."""
MORE_THAN_OTHERS: Final = 2
"""So many more notes than have other lengths make a length worth saying for most."""
LEAST_IN_PAIRS: Final = 4
"""From so many notes on, two lengths that take turns are said once, before them; two more where one is the usual."""
USUAL_TWELFTHS: Final = frozenset({3, 4, 6, 8, 12, 24, 36})
"""Lengths, in twelfths of a count, that most notes of a part may be said to have."""
WORTH_LEADING: Final = 0.5
"""A part that resembles one before it more than this begins with that."""


class _Said(Struct, frozen=True):
    """A melody note as it is said: what leads into it, how long it is held, how it is reached."""

    note: Note
    graces: tuple[Note, ...]
    rhythm: SpokenLength
    move: Move | None


class _Group(Struct, frozen=True):
    """Notes said in one go: reached by the same kind of move in the same direction, and equally long."""

    notes: tuple[_Said, ...]

    @property
    def move(self) -> Move | None:
        return self.notes[0].move

    @property
    def held(self) -> int:
        return self.notes[0].rhythm.held

    @property
    def wait(self) -> int:
        return self.notes[0].rhythm.wait


def right_hand_words(song: Song, number: int, names: Names = LETTER_NAMES, lead: str | None = None) -> str:
    """The computed words for the right hand of a part; empty where it has no melody.

    Args:
        song: the song.
        number: part number from 1.
        names: what notes are called.
        lead: the sentence that tells which part it comes back from, where that is known; computed where it is None.
    """
    part = song.part(number)
    if not any(not note.is_grace for note in part.melody):
        return ""
    metre = song.metre_at(song.part_onsets[number - 1])
    telling = _Telling(part.melody, Counting.of(metre), names)
    if lead is None:
        lead = leading_sentence(resemblance(song, number, taught_before(song, number)))
    opening = [lead]
    if number > 1 and metre != song.metre_at(song.part_onsets[number - 2]):
        opening.append(counting_sentence(metre))
    return " ".join([*filter(None, opening), *telling.sentences()])


def taught_before(song: Song, number: int) -> tuple[int, ...]:
    """Numbers of the parts that a learner knows when a part comes."""
    return tuple(other for other in range(1, number) if song.part(other).teaching.taught)


def leading_sentence(found: Resemblance | None) -> str:
    """Which part another one comes back from, without a note's name; empty where it comes from none."""
    return found.lead if found is not None and found.strength > WORTH_LEADING else ""


_PLAIN, _SHARED, _IN_PAIRS = "each with its own length", "with one length", "with two lengths in turn"


class _Run(Struct, frozen=True):
    """Groups in a row, and how their lengths are said."""

    how: str
    groups: tuple[_Group, ...]


class _Telling:
    """One melody being told."""

    def __init__(self, melody: Sequence[Note], counting: Counting, names: Names) -> None:
        self._counting = counting
        self._names = names
        self._said, self._trailing = _as_said(melody, counting)
        self._usual = _usual_length(self._said, counting)
        self._sentences: list[str] = []
        self._phrases: list[str] = []
        self._notes_in_sentence = 0
        self._telling = _PLAIN

    def sentences(self) -> list[str]:
        """The melody in sentences."""
        if self._usual != self._counting.ticks:
            self._sentences.append(f"Most notes here last {self._counting.words(self._usual)}.")
        for run in _runs(_groups(self._said), self._usual):
            if run.how != _PLAIN or self._telling != _PLAIN:
                self._close()
            self._tell(run)
        if self._trailing:
            self._phrases.append(f"then {_grace_words(self._trailing, self._names)}".removesuffix(" into "))
        self._close()
        return self._sentences

    def _tell(self, run: _Run) -> None:
        first = run.groups[0]
        if first.wait and first.move is not None:
            self._close()
            self._sentences.append(f"Wait {self._counting.words(first.wait)}.")
        if run.how == _IN_PAIRS:
            one, other = (self._counting.words(group.held) for group in run.groups[:2])
            which = f"{'first' if first.move is None else 'next'} {number_word(len(run.groups))}"
            order = "long, short" if run.groups[0].held > run.groups[1].held else "short, long"
            self._sentences.append(f"The {which} notes go {order}: {one}, then {other}.")
        self._telling = run.how
        ending = len(self._shared_words(run, 2).removeprefix(",").split())
        for group in run.groups:
            words = self._words_of(group, own_length=run.how == _PLAIN)
            spoken = word_count([*self._phrases, words]) + ending
            count = self._notes_in_sentence + len(group.notes)
            if self._phrases and (count > LONGEST_BREATH or spoken > LONGEST_SENTENCE):
                self._close(self._shared_words(run, self._notes_in_sentence))
            waited = self._sentences[-1:] and self._sentences[-1].startswith("Wait")
            leads_on = group.move is not None and (not words.startswith(("up ", "down ", "back ")) or waited)
            self._phrases.append(f"then {words}" if leads_on and self._sentences and not self._phrases else words)
            self._notes_in_sentence += len(group.notes)
        if run.how != _PLAIN:
            self._close(self._shared_words(run, self._notes_in_sentence))

    def _close(self, ending: str = "") -> None:
        """End the sentence that is being said."""
        if self._phrases:
            self._sentences.append(sentence_of(self._phrases, ending))
        self._phrases, self._notes_in_sentence = [], 0

    def _shared_words(self, run: _Run, notes: int) -> str:
        """The length that the notes of a sentence share, said behind them."""
        if run.how != _SHARED:
            return ""
        return f"{', each' if notes > 1 else ''} for {self._counting.words(run.groups[0].held)}"

    def _words_of(self, group: _Group, own_length: bool) -> str:
        length = self._length(group) if own_length else ""
        first = group.notes[0]
        if group.move is None:
            waits = f"Wait {self._counting.words(group.wait)}, then start" if group.wait else "Start"
            graces = _grace_words(first.graces, self._names)
            return f"{waits} on {graces}{placed_name(first.note.pitch, self._names)}{length}"
        called = [
            f"{_grace_words(said.graces, self._names)}{self._names.said(said.note.pitch.name)}" for said in group.notes
        ]
        return f"{_way(group.move, called)}{length}"

    def _length(self, group: _Group) -> str:
        if group.held == self._usual:
            return ""
        words = self._counting.words(group.held)
        if len(group.notes) > 1:
            return f", each for {words}"
        is_last = group.notes[-1] is self._said[-1] and group.move is not None
        return f" and hold it for {words}" if is_last and group.held > self._usual else f" for {words}"


def _way(move: Move, called: Sequence[str]) -> str:
    """How notes are reached, and what they are called."""
    way = "up" if move.direction > 0 else "down"
    if move.kind == TO_AND_FRO:
        return f"back and forth: {', '.join(called)}" if len(called) > 1 else f"back {way} to {called[0]}"
    if len(called) == 1:
        return f"{called[0]} again" if move.kind == SAME else f"{way} {move.interval} to {called[0]}"
    if move.kind == SAME:
        return f"the same {times_word(len(called))} more: {', '.join(called)}"
    return f"{way} by {move.interval.removeprefix('a ')}: {', '.join(called)}"


def _as_said(melody: Sequence[Note], counting: Counting) -> tuple[list[_Said], tuple[Note, ...]]:
    """The sounding notes as they are said, and grace notes that lead to none of them."""
    sounding = [note for note in melody if not note.is_grace]
    graces: list[tuple[Note, ...]] = []
    pending: list[Note] = []
    for note in melody:
        pending.append(note)
        if not note.is_grace:
            graces.append(tuple(pending[:-1]))
            pending = []
    rhythm = spoken_lengths(sounding, counting)
    said = [_Said(*every) for every in zip(sounding, graces, rhythm, moves(sounding), strict=True)]
    return said, tuple(pending)


def _usual_length(said: Sequence[_Said], counting: Counting) -> int:
    """The length that need not be said: a count, or the plain one that most of at least four notes have."""
    if len(said) < LEAST_FOR_USUAL:
        return counting.ticks
    length, how_many = Counter(note.rhythm.held for note in said).most_common(1)[0]
    twelfths, rest = divmod(12 * length, counting.ticks)
    plain = not rest and twelfths in USUAL_TWELFTHS
    return length if plain and 2 * how_many - len(said) >= MORE_THAN_OTHERS else counting.ticks


def _groups(said: Sequence[_Said]) -> list[_Group]:
    """The notes gathered into groups; the first, and every leap, alone."""
    groups: list[list[_Said]] = []
    for note in said:
        joins = (
            groups
            and note.move is not None
            and note.move.kind != LEAP
            and len(groups[-1]) < LONGEST_BREATH
            and not note.rhythm.wait
            and note.rhythm.held == groups[-1][-1].rhythm.held
            and note.move.joins(groups[-1][-1].move)
        )
        if joins:
            groups[-1].append(note)
        else:
            groups.append([note])
    return [_Group(tuple(group)) for group in groups]


def _runs(groups: Sequence[_Group], usual: int) -> list[_Run]:
    """The groups of a line by how their lengths are said."""
    runs: list[_Run] = []
    start = 0
    while start < len(groups):
        how, end = _IN_PAIRS, _end_of_pairs(groups, start)
        if end - start < LEAST_IN_PAIRS + 2 * any(group.held == usual for group in groups[start : start + 2]):
            how, end = _SHARED, start + 1
            while end < len(groups) and groups[end].held == groups[start].held and not groups[end].wait:
                end += 1
            if end == start + 1 or groups[start].held == usual:
                how, end = _PLAIN, start + 1
        runs.append(_Run(how, tuple(groups[start:end])))
        start = end
    return runs


def _end_of_pairs(groups: Sequence[_Group], start: int) -> int:
    """Behind the last group up to which two lengths take turns, an even number of single notes."""
    end = start
    while end < len(groups):
        group = groups[end]
        alone = len(group.notes) == 1 and (not group.wait or end == start)
        other = groups[end - 1].held if end > start else None
        before = groups[end - 2].held if end - 1 > start else group.held
        if not alone or group.held == other or group.held != before:
            break
        end += 1
    return end - (end - start) % 2


def _grace_words(graces: Sequence[Note], called: Names) -> str:
    if not graces:
        return ""
    names = ", ".join(called.said(grace.pitch.name) for grace in graces)
    return f"{'quick grace notes' if len(graces) > 1 else 'a quick grace note'} {names} into "

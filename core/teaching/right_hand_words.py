"""What to say for the right hand: its notes in order, with directions, counts and waits.

Every note's name is said exactly once and in order, so that a learner can write the list down while listening,
and no other single capital letter is said but the C of 'middle C': the article 'a' never opens a sentence.
A breath is at most seven notes (short-term memory holds seven, plus or minus two: Miller 1956). A length that
several notes in a row share is said once, behind them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from enum import Enum
from typing import Final

from msgspec import Struct

from core.song.note import Note
from core.song.song import Song
from core.song.wording import say, say_counted
from core.teaching.counting import Counting, counting_sentence
from core.teaching.keyboard_places import placed_name
from core.teaching.melodic_moves import LEAP, SAME, TO_AND_FRO, Move, moves
from core.teaching.naming import LETTER_NAMES, Names
from core.teaching.number_words import number_word, times_word
from core.teaching.resemblance import Resemblance, resemblance
from core.teaching.sentences import LONGEST_SENTENCE, Phrase, joined, sentence, word_count
from core.teaching.spoken_intervals import HALF_STEPS
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


class _How(Enum):
    """How the lengths of notes are said."""

    PLAIN = "own"
    SHARED = "shared"
    IN_PAIRS = "pairs"


class _Run(Struct, frozen=True):
    """Groups in a row, and how their lengths are said."""

    how: _How
    groups: tuple[_Group, ...]


class _Telling:
    """One melody being told."""

    def __init__(self, melody: Sequence[Note], counting: Counting, names: Names) -> None:
        self._counting = counting
        self._names = names
        self._said, self._trailing = _as_said(melody, counting)
        self._usual = _usual_length(self._said, counting)
        self._sentences: list[str] = []
        self._phrases: list[Phrase] = []
        self._notes_in_sentence = 0
        self._telling = _How.PLAIN
        self._has_waited = False
        self._begins_with_a_wait = False

    def sentences(self) -> list[str]:
        """The melody in sentences."""
        if self._usual != self._counting.ticks:
            self._add(say("Most notes here last {length}.", length=self._counting.words(self._usual)))
        for run in _runs(_groups(self._said), self._usual):
            if run.how != _How.PLAIN or self._telling != _How.PLAIN:
                self._close()
            self._tell(run)
        if self._trailing:
            self._phrases.append(Phrase(_trailing_words(self._trailing, self._names)))
        self._close()
        return self._sentences

    def _tell(self, run: _Run) -> None:
        first = run.groups[0]
        if first.wait and first.move is not None:
            self._close()
            self._add(say("Wait {length}.", length=self._counting.words(first.wait)), waits=True)
        if run.how == _How.IN_PAIRS:
            self._add(_turns(run, self._counting))
        self._telling = run.how
        ending = word_count([self._with_shared_length("·", run, 2)]) - 1
        for group in run.groups:
            words = self._words_of(group, own_length=run.how == _How.PLAIN)
            spoken = word_count([*(phrase.text for phrase in self._phrases), words]) + ending
            count = self._notes_in_sentence + len(group.notes)
            if self._phrases and (count > LONGEST_BREATH or spoken > LONGEST_SENTENCE):
                self._close(run)
            if group.move is None:
                self._begins_with_a_wait = bool(group.wait)
            elif self._sentences and not self._phrases and (group.move.kind == SAME or self._has_waited):
                words = say("then {notes}", notes=words)
            self._phrases.append(Phrase(words, lists=len(group.notes) > 1))
            self._notes_in_sentence += len(group.notes)
        if run.how != _How.PLAIN:
            self._close(run)

    def _close(self, run: _Run | None = None) -> None:
        """End the sentence that is being said, with the length that its notes share in a run."""
        if self._phrases:
            told = joined(self._phrases)
            if run is not None:
                told = self._with_shared_length(told, run, self._notes_in_sentence)
            self._add(sentence(told), waits=self._begins_with_a_wait)
        self._phrases, self._notes_in_sentence, self._begins_with_a_wait = [], 0, False

    def _add(self, told: str, *, waits: bool = False) -> None:
        """Add a sentence, and keep whether it begins with a wait."""
        self._sentences.append(told)
        self._has_waited = waits

    def _with_shared_length(self, told: str, run: _Run, notes: int) -> str:
        """Notes with the length that they share behind them."""
        if run.how != _How.SHARED:
            return told
        length = self._counting.words(run.groups[0].held)
        return _each_for(told, length) if notes > 1 else _for(told, length)

    def _words_of(self, group: _Group, own_length: bool) -> str:
        called = [_with_graces(one.graces, self._name_of(one), self._names) for one in group.notes]
        told = self._opening(group, called[0]) if group.move is None else _way(group.move, called)
        return self._with_length(told, group) if own_length else told

    def _name_of(self, one: _Said) -> str:
        """What a note is called; the first one also with its place."""
        if one.move is None:
            return placed_name(one.note.pitch, self._names)
        return self._names.said(one.note.pitch.name)

    def _opening(self, group: _Group, called: str) -> str:
        if group.wait:
            return say("Wait {length}, then start on {note}", length=self._counting.words(group.wait), note=called)
        return say("Start on {note}", note=called)

    def _with_length(self, told: str, group: _Group) -> str:
        """Notes with their own length behind them where it is not the usual one."""
        if group.held == self._usual:
            return told
        length = self._counting.words(group.held)
        if len(group.notes) > 1:
            return _each_for(told, length)
        is_last = group.notes[-1] is self._said[-1] and group.move is not None
        if is_last and group.held > self._usual:
            return say("{notes} and hold it for {length}", notes=told, length=length)
        return _for(told, length)


def _each_for(told: str, length: str) -> str:
    # Translators: {notes} is a whole phrase, such as “up by step: E, F, G” or “Start on the E above middle C”.
    return say("{notes}, each for {length}", notes=told, length=length)


def _for(told: str, length: str) -> str:
    # Translators: {notes} is a whole phrase, such as “up a third to G” or “Start on the E above middle C”.
    return say("{notes} for {length}", notes=told, length=length)


def _turns(run: _Run, counting: Counting) -> str:
    """How two lengths take turns."""
    one, other = (counting.words(group.held) for group in run.groups[:2])
    count = len(run.groups)
    number = number_word(count)
    falls = run.groups[0].held > run.groups[1].held
    if run.groups[0].move is None and falls:
        return say_counted(
            "The first {number} note goes long, short: {one}, then {other}.",
            "The first {number} notes go long, short: {one}, then {other}.",
            count, number=number, one=one, other=other,
        )  # fmt: skip  # the two texts below one another
    if run.groups[0].move is None:
        return say_counted(
            "The first {number} note goes short, long: {one}, then {other}.",
            "The first {number} notes go short, long: {one}, then {other}.",
            count, number=number, one=one, other=other,
        )  # fmt: skip  # the two texts below one another
    if falls:
        return say_counted(
            "The next {number} note goes long, short: {one}, then {other}.",
            "The next {number} notes go long, short: {one}, then {other}.",
            count, number=number, one=one, other=other,
        )  # fmt: skip  # the two texts below one another
    return say_counted(
        "The next {number} note goes short, long: {one}, then {other}.",
        "The next {number} notes go short, long: {one}, then {other}.",
        count, number=number, one=one, other=other,
    )  # fmt: skip  # the two texts below one another


def _way(move: Move, called: Sequence[str]) -> str:
    """How notes are reached, and what they are called."""
    if move.interval is None:
        if len(called) == 1:
            return say("{note} again", note=called[0])
        return say("the same {times} more: {notes}", times=times_word(len(called)), notes=", ".join(called))
    rises = move.direction > 0
    if len(called) == 1:
        if move.kind == TO_AND_FRO:
            return say("back up to {note}", note=called[0]) if rises else say("back down to {note}", note=called[0])
        interval = move.interval.said
        if rises:
            return say("up {interval} to {note}", interval=interval, note=called[0])
        return say("down {interval} to {note}", interval=interval, note=called[0])
    notes = ", ".join(called)
    if move.kind == TO_AND_FRO:
        return say("back and forth: {notes}", notes=notes)
    if move.interval.kind == HALF_STEPS:
        return say("up by half step: {notes}", notes=notes) if rises else say("down by half step: {notes}", notes=notes)
    return say("up by step: {notes}", notes=notes) if rises else say("down by step: {notes}", notes=notes)


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
        how, end = _How.IN_PAIRS, _end_of_pairs(groups, start)
        if end - start < LEAST_IN_PAIRS + 2 * any(group.held == usual for group in groups[start : start + 2]):
            how, end = _How.SHARED, start + 1
            while end < len(groups) and groups[end].held == groups[start].held and not groups[end].wait:
                end += 1
            if end == start + 1 or groups[start].held == usual:
                how, end = _How.PLAIN, start + 1
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


def _with_graces(graces: Sequence[Note], note: str, called: Names) -> str:
    """A note with the grace notes that lead into it."""
    if not graces:
        return note
    names = _grace_names(graces, called)
    if len(graces) == 1:
        return say("a quick grace note {grace} into {note}", grace=names, note=note)
    return say("quick grace notes {graces} into {note}", graces=names, note=note)


def _trailing_words(graces: Sequence[Note], called: Names) -> str:
    """Grace notes that no note comes after."""
    names = _grace_names(graces, called)
    if len(graces) == 1:
        return say("then a quick grace note {grace}", grace=names)
    return say("then quick grace notes {graces}", graces=names)


def _grace_names(graces: Sequence[Note], called: Names) -> str:
    return ", ".join(called.said(grace.pitch.name) for grace in graces)

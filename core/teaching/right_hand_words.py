"""What to say for the right hand: its notes in order, with directions, counts and waits.

Every note's name is said exactly once and in order, so that a learner can write the list down while listening,
and no other single capital letter is said but the C of 'middle C': the article 'a' never opens a sentence.
A breath is at most seven notes (short-term memory holds seven, plus or minus two: Miller 1956).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Final

from core.song.note import Note
from core.song.song import Song
from core.teaching.counting import Counting
from core.teaching.keyboard_places import placed_name
from core.teaching.naming import LETTER_NAMES, Names
from core.teaching.number_words import number_word, ordinal_word, times_word

LONGEST_BREATH: Final = 7
LONGEST_SENTENCE: Final = 24
"""Words; a longer sentence is not said in one breath."""
LEAST_FOR_USUAL: Final = 4
"""Among fewer notes each length is said."""
PLAIN_LENGTHS: Final = frozenset(
    {Fraction(1, 4), Fraction(1, 3), Fraction(1, 2), Fraction(1), Fraction(2), Fraction(3)}
)
"""Lengths in counts that most notes of a part may be said to have."""
_OCTAVE: Final = 7
_SAME, _STEP, _LEAP = "same", "step", "leap"


@dataclass(frozen=True, slots=True)
class _Move:
    """How a note is reached from the one before: what kind of move, and in which direction (−1, 0, +1)."""

    kind: str
    direction: int
    interval: str


def _move(before: Note, note: Note) -> _Move:
    semitones = note.pitch.midi - before.pitch.midi
    steps = abs(note.pitch.staff_step - before.pitch.staff_step)
    direction = (semitones > 0) - (semitones < 0)
    if not direction:
        return _Move(_SAME, 0, "")
    if steps <= 1:
        return _Move(_STEP, direction, "a step" if steps else "a half step")
    if steps % _OCTAVE == 0:
        count = steps // _OCTAVE
        return _Move(_LEAP, direction, "an octave" if count == 1 else f"{number_word(count)} octaves")
    number = ordinal_word(steps + 1)
    return _Move(_LEAP, direction, f"{'an' if number.startswith('e') else 'a'} {number}")


@dataclass(frozen=True, slots=True)
class _Group:
    """Notes said in one go: reached by the same kind of move in the same direction, and equally long."""

    notes: tuple[Note, ...]
    graces: tuple[tuple[Note, ...], ...]
    move: _Move | None
    returns: bool


def right_hand_words(song: Song, number: int, names: Names = LETTER_NAMES) -> str:
    """The computed words for the right hand of a part; empty where it has no melody.

    Args:
        song: the song.
        number: part number from 1.
        names: what notes are called.
    """
    part = song.part(number)
    melody = part.melody
    sounding = [note for note in melody if not note.is_grace]
    if not sounding:
        return ""
    counting = Counting.of(song.metre_at(song.part_onsets[number - 1]))
    usual = _usual_length(sounding, counting)
    sentences: list[str] = []
    first = sounding[0]
    if usual != counting.ticks:
        sentences.append(f"Most notes here last {counting.words(usual)}.")
    waits = f"Wait {counting.words(first.onset)}, then start" if _is_wait(first.onset, counting) else "Start"
    graces = _graces_before(melody, 0, first)
    lead = f"{waits} on {_grace_words(graces, names)}{placed_name(first.pitch, names)}{_length(first, usual, counting)}"
    phrases, said = [lead], 1
    for group in _groups(melody, sounding):
        wait = group.notes[0].onset - _last_end(sounding, group.notes[0])
        if _is_wait(wait, counting):
            sentences.append(_sentence(phrases))
            sentences.append(f"Wait {counting.words(wait)}.")
            phrases, said = [], 0
        last = group.notes[-1] is sounding[-1]
        words = _group_words(group, usual, counting, last, names)
        spoken = len(" ".join([*phrases, words]).split())
        if said and (said + len(group.notes) > LONGEST_BREATH or spoken > LONGEST_SENTENCE):
            sentences.append(_sentence(phrases))
            phrases, said = [], 0
        leads_on = not words.startswith(("up ", "down ", "back ")) or (
            sentences[-1:] and sentences[-1].startswith("Wait")
        )
        phrases.append(f"then {words}" if leads_on and sentences and not phrases else words)
        said += len(group.notes)
    sentences.append(_sentence(phrases))
    return " ".join(sentence for sentence in sentences if sentence)


def _usual_length(notes: Sequence[Note], counting: Counting) -> int:
    """The length that need not be said: a count, or the plain one that more than half of at least four notes have."""
    if len(notes) < LEAST_FOR_USUAL:
        return counting.ticks
    length, how_many = Counter(note.duration for note in notes).most_common(1)[0]
    plain = Fraction(length, counting.ticks) in PLAIN_LENGTHS
    return length if plain and how_many * 2 > len(notes) else counting.ticks


def _is_wait(ticks: int, counting: Counting) -> bool:
    return ticks * 2 >= counting.ticks


def _last_end(sounding: Sequence[Note], note: Note) -> int:
    return max((other.end for other in sounding if other.onset < note.onset), default=note.onset)


def _graces_before(melody: Sequence[Note], after: int, note: Note) -> tuple[Note, ...]:
    return tuple(other for other in melody if other.is_grace and after <= other.onset <= note.onset)


def _groups(melody: Sequence[Note], sounding: Sequence[Note]) -> list[_Group]:
    """Every sounding note but the first, gathered into groups."""
    groups: list[_Group] = []
    notes: list[Note] = []
    graces: list[tuple[Note, ...]] = []
    current: _Move | None = None
    returns = False
    for place in range(1, len(sounding)):
        before, note = sounding[place - 1], sounding[place]
        move = _move(before, note)
        led = _graces_before(melody, before.onset + 1, note)
        joins = (
            current is not None
            and len(notes) < LONGEST_BREATH
            and move.kind != _LEAP
            and (move.kind, move.direction, move.interval) == (current.kind, current.direction, current.interval)
            and note.duration == notes[-1].duration
            and note.onset == notes[-1].end
        )
        if not joins:
            if notes:
                groups.append(_Group(tuple(notes), tuple(graces), current, returns))
            notes, graces, current = [], [], move
            returns = place > 1 and sounding[place - 2].pitch == note.pitch and move.kind != _SAME
        notes.append(note)
        graces.append(led)
    if notes:
        groups.append(_Group(tuple(notes), tuple(graces), current, returns))
    return groups


def _group_words(group: _Group, usual: int, counting: Counting, last: bool, called: Names) -> str:
    names = [
        f"{_grace_words(graces, called)}{called.said(note.pitch.name)}"
        for note, graces in zip(group.notes, group.graces, strict=True)
    ]
    move = group.move
    length = _length(group.notes[-1], usual, counting, len(names) > 1, last)
    if move is None:
        return ", ".join(names) + length
    way = "up" if move.direction > 0 else "down"
    if len(names) == 1:
        if move.kind == _SAME:
            return f"{names[0]} again{length}"
        if group.returns:
            return f"back {way} to {names[0]}{length}"
        return f"{way} {move.interval} to {names[0]}{length}"
    if move.kind == _SAME:
        return f"the same {times_word(len(names))} more: {', '.join(names)}{length}"
    by = "step" if move.interval == "a step" else "half step"
    return f"{way} by {by}: {', '.join(names)}{length}"


def _length(note: Note, usual: int, counting: Counting, several: bool = False, last: bool = False) -> str:
    if note.duration == usual:
        return ""
    words = counting.words(note.duration)
    if last and note.duration > usual and not several:
        return f" and hold it for {words}"
    return f", {words} each" if several else f" for {words}"


def _grace_words(graces: Sequence[Note], called: Names) -> str:
    if not graces:
        return ""
    names = ", ".join(called.said(grace.pitch.name) for grace in graces)
    return f"{'quick grace notes' if len(graces) > 1 else 'a quick grace note'} {names} into "


def _sentence(phrases: Sequence[str]) -> str:
    """Phrases as one sentence: a comma between plain ones, a semicolon after one that lists notes."""
    if not phrases:
        return ""
    text = phrases[0]
    for before, phrase in pairwise(phrases):
        text += f"{';' if ':' in before or ' each' in before or ':' in phrase else ','} {phrase}"
    return f"{text[0].upper()}{text[1:]}."

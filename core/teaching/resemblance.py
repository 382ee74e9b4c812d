"""Which parts resemble one another, and by what they differ.

Two parts are compared in rhythm (onsets and lengths), pitch (exact, or moved by one interval), contour
(direction from note to note) and chords. An exact repeat is always found; a near one is told with its difference,
so that it can be taught by the difference alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from core.song.metre import bar_at
from core.song.note import Note
from core.song.part import Part
from core.song.song import Song
from core.teaching.number_words import number_word, ordinal_word

LEAST_NOTES: Final = 3
"""Fewer notes than this resemble anything."""
MOST_CHANGES: Final = 3
"""More changed notes than this are a tune of their own; nor may they be more than a quarter of the part."""
LEAST_SHARED: Final = 0.5
"""A shared beginning or ending is worth saying from this share of the notes on."""


@dataclass(frozen=True, slots=True)
class Resemblance:
    """How a part resembles another one.

    Attributes:
        part: number of the other part.
        how: in a few words, such as ``same notes`` or ``same rhythm``.
        sentence: in full, such as 'Part 3 is part 1 with a new ending from bar 7.'
        strength: 0 … 1; 1 is an exact repeat.
        new_from: index among the part's melody notes of the first that is new, where it begins as the other does
            and ends anew; else None.
    """

    part: int
    how: str
    sentence: str
    strength: float
    new_from: int | None = None


def resemblance(song: Song, number: int, to: Sequence[int] | None = None) -> Resemblance | None:
    """The strongest resemblance of a part to others, the earlier part where two are as strong; None without one.

    Args:
        song: the song.
        number: part number from 1.
        to: numbers of the parts to compare with, or None for all that come before it.
    """
    others = range(1, number) if to is None else to
    found = [one for other in others if other != number and (one := _compared(song, number, other)) is not None]
    return max(found, key=lambda one: one.strength, default=None)


def _compared(song: Song, number: int, other: int) -> Resemblance | None:
    here, there = song.part(number), song.part(other)
    notes, known = _line(here), _line(there)
    if len(notes) < LEAST_NOTES or len(known) < LEAST_NOTES:
        return None
    same_chords = _chords(here) == _chords(there)
    left_hand = "" if same_chords else " over other chords"
    if _placed(notes) == _placed(known):
        how = "same" if same_chords and here.duration == there.duration else "same notes"
        sentence = f"Part {number} is part {other} again{left_hand}."
        return Resemblance(other, how, sentence, 1.0 if how == "same" else 0.95)
    moved = _moved(notes, known)
    if moved:
        return Resemblance(other, f"same, {moved}", f"Part {number} is part {other}, {moved}{left_hand}.", 0.9)
    return (
        _changed(number, other, notes, known, left_hand)
        or _shared_beginning(song, number, other, notes, known)
        or _shared_ending(number, other, notes, known)
        or _same_shape(number, other, notes, known, same_chords)
    )


def _line(part: Part) -> tuple[Note, ...]:
    return tuple(note for note in part.melody if not note.is_grace)


def _placed(notes: Sequence[Note]) -> list[tuple[int, int, int]]:
    return [(note.onset, note.duration, note.pitch.midi) for note in notes]


def _rhythm(notes: Sequence[Note]) -> list[tuple[int, int]]:
    return [(note.onset, note.duration) for note in notes]


def _chords(part: Part) -> list[tuple[int, int, object]]:
    return [(chord.onset, chord.duration, chord.symbol) for chord in part.chords]


def _moved(notes: Sequence[Note], known: Sequence[Note]) -> str:
    """How far a line is moved as a whole, in the letters of the key or by semitones alike; empty where it is not."""
    if _rhythm(notes) != _rhythm(known):
        return ""
    steps = {note.pitch.staff_step - old.pitch.staff_step for note, old in zip(notes, known, strict=True)}
    if len(steps) != 1:
        return ""
    step = steps.pop()
    way = "higher" if step > 0 else "lower"
    size = abs(step)
    if size == 0:
        return ""
    if size == 1:
        return f"a step {way}"
    if size % 7 == 0:
        return f"an octave {way}" if size == 7 else f"{number_word(size // 7)} octaves {way}"
    name = ordinal_word(size + 1)
    return f"{'an' if name.startswith('e') else 'a'} {name} {way}"


def _changed(
    number: int, other: int, notes: Sequence[Note], known: Sequence[Note], left_hand: str
) -> Resemblance | None:
    """Parts of the same rhythm in which a few notes differ."""
    if _rhythm(notes) != _rhythm(known):
        return None
    changes = [
        place for place, (note, old) in enumerate(zip(notes, known, strict=True)) if note.pitch.midi != old.pitch.midi
    ]
    if not changes or len(changes) > min(MOST_CHANGES, len(notes) // 4):
        return None
    told = ", ".join(
        f"the {ordinal_word(place + 1)} note is {notes[place].pitch.name.spoken} instead of "
        f"{known[place].pitch.name.spoken}"
        for place in changes
    )
    how = "same but for one note" if len(changes) == 1 else f"same but for {number_word(len(changes))} notes"
    strength = 0.85 - 0.02 * len(changes)
    return Resemblance(other, how, f"Part {number} is part {other}{left_hand}, but {told}.", strength)


def _shared_beginning(
    song: Song, number: int, other: int, notes: Sequence[Note], known: Sequence[Note]
) -> Resemblance | None:
    shared = 0
    for note, old in zip(notes, known, strict=False):
        if (note.onset, note.pitch.midi) != (old.onset, old.pitch.midi):
            break
        shared += 1
    if shared < max(LEAST_NOTES, LEAST_SHARED * max(len(notes), len(known))) or shared >= len(notes):
        return None
    bar = bar_at(song.bars, song.part_onsets[number - 1] + notes[shared].onset).number
    share = shared / max(len(notes), len(known))
    sentence = f"Part {number} is part {other} with a new ending from bar {bar}."
    return Resemblance(other, "same beginning", sentence, 0.55 + 0.25 * share, shared)


def _shared_ending(number: int, other: int, notes: Sequence[Note], known: Sequence[Note]) -> Resemblance | None:
    def from_end(line: Sequence[Note]) -> list[tuple[int, int]]:
        return [(line[-1].onset - note.onset, note.pitch.midi) for note in reversed(line)]

    shared = 0
    for note, old in zip(from_end(notes), from_end(known), strict=False):
        if note != old:
            break
        shared += 1
    if shared < max(LEAST_NOTES, LEAST_SHARED * max(len(notes), len(known))):
        return None
    share = shared / max(len(notes), len(known))
    sentence = f"Part {number} ends as part {other} does: the last {number_word(shared)} notes are the same."
    return Resemblance(other, "same ending", sentence, 0.5 + 0.2 * share)


def _same_shape(
    number: int, other: int, notes: Sequence[Note], known: Sequence[Note], same_chords: bool
) -> Resemblance | None:
    same_rhythm = _rhythm(notes) == _rhythm(known)
    same_contour = len(notes) == len(known) and _contour(notes) == _contour(known)
    if same_rhythm and same_contour:
        how, strength = "same rhythm and shape", 0.5
    elif same_rhythm:
        how, strength = "same rhythm", 0.4
    elif same_chords:
        how, strength = "same chords", 0.3
    else:
        return None
    return Resemblance(other, how, f"Part {number} has the {how} as part {other}.", strength)


def _contour(notes: Sequence[Note]) -> list[int]:
    moves = [after.pitch.midi - before.pitch.midi for before, after in pairwise(notes)]
    return [(move > 0) - (move < 0) for move in moves]

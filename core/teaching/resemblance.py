"""Which parts resemble one another, and by what they differ.

Two parts are compared in rhythm (onsets and lengths), pitch (exact, or moved by one interval), contour
(direction from note to note) and chords. An exact repeat is always found; a near one is told with its difference,
so that it can be taught by the difference alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from msgspec import Struct

from core.song.identity_cache import kept_by_identity
from core.song.metre import bar_at
from core.song.note import Note
from core.song.part import Part
from core.song.song import Song
from core.teaching.naming import LETTER_NAMES, Names
from core.teaching.number_words import number_word, ordinal_word

LEAST_NOTES: Final = 3
"""Fewer notes than this resemble anything."""
MOST_CHANGES: Final = 3
"""More changed notes than this are a tune of their own; nor may they be more than a quarter of the part."""
LEAST_SHARED: Final = 0.5
"""A shared beginning or ending is worth saying from this share of the notes on."""
LONGEST_LEAD_IN: Final = 3
"""Notes; a pick-up up to this long may be there in one of two parts and not in the other."""


class Resemblance(Struct, frozen=True):
    """How a part resembles another one.

    Attributes:
        part: number of the other part.
        how: in a few words, such as ``same notes`` or ``same rhythm``.
        sentence: in full, such as 'Part 3 is part 1 with a new ending from bar 7.'
        strength: 0 … 1; 1 is an exact repeat.
        lead: the sentence without a note's name, for words that name every note once.
        same_left_hand: whether the chords and a written left hand are the same, at the same moments.
        changed: which of the part's melody notes (grace notes not counted, from 0) differ from the other part's;
            empty where none does, None where the part has to be learned as a whole.
        differs_at: ticks from the part's start to the first note that differs; None where `changed` is empty or None.
    """

    part: int
    how: str
    sentence: str
    strength: float
    lead: str
    same_left_hand: bool = False
    changed: tuple[int, ...] | None = None
    differs_at: int | None = None

    @property
    def is_exact(self) -> bool:
        """Whether both hands of the part are those of the other part, note for note."""
        return self.strength >= 1.0


class _Seen(Struct, frozen=True):
    """What is compared of a part: its melody in several lights, worked out once for all comparisons."""

    notes: tuple[Note, ...]
    placed: list[tuple[int, int, int]]
    rhythm: list[tuple[int, int]]
    struck: list[tuple[int, int]]
    from_end: list[tuple[int, int]]
    contour: list[int]
    graces: list[tuple[int, int]]
    chords: list[tuple[int, int, object]]
    left_hand: list[tuple[int, int, int]]


@kept_by_identity
def _seen(part: Part) -> _Seen:
    line = _line(part)
    return _Seen(
        line,
        _placed(line),
        _rhythm(line),
        _struck(line),
        _from_end(line),
        _contour(line),
        _graces(part),
        _chords(part),
        _left_hand(part),
    )


class _Pair(Struct, frozen=True):
    """Two parts under comparison: their numbers, the later one first, and what is seen of each."""

    number: int
    other: int
    here: _Seen
    there: _Seen
    same_left_hand: bool

    @property
    def notes(self) -> tuple[Note, ...]:
        """The later part's melody."""
        return self.here.notes

    @property
    def known(self) -> tuple[Note, ...]:
        """The other part's melody."""
        return self.there.notes

    def found(
        self, how: str, told: str, strength: float, changed: Sequence[int] | None = None, lead: str | None = None
    ) -> Resemblance:
        """A resemblance, told by what follows 'Part 3' in its sentence."""
        sentence = f"Part {self.number} {told}."
        return Resemblance(
            self.other,
            how,
            sentence,
            strength,
            sentence if lead is None else f"Part {self.number} {lead}.",
            self.same_left_hand,
            None if changed is None else tuple(changed),
            self.notes[changed[0]].onset if changed else None,
        )


def resemblance(song: Song, number: int, to: Sequence[int] | None = None) -> Resemblance | None:
    """The strongest resemblance of a part to others, the earlier part where two are as strong; None without one.

    Args:
        song: the song.
        number: part number from 1.
        to: numbers of the parts to compare with, or None for all that come before it.
    """
    others = range(1, number) if to is None else to
    found = [one for other in others if other != number and (one := compared(song, number, other)) is not None]
    return max(found, key=lambda one: one.strength, default=None)


def compared(song: Song, number: int, other: int, names: Names = LETTER_NAMES) -> Resemblance | None:
    """How a part resembles one other part, told with these names of notes; None where it does not."""
    here, there = _seen(song.part(number)), _seen(song.part(other))
    if len(here.notes) < LEAST_NOTES or len(there.notes) < LEAST_NOTES:
        return None
    same_chords = here.chords == there.chords
    pair = _Pair(number, other, here, there, same_chords and here.left_hand == there.left_hand)
    over = "" if same_chords else " over other chords"
    if here.placed == there.placed:
        same_length = song.part(number).duration == song.part(other).duration
        is_whole = pair.same_left_hand and same_length and here.graces == there.graces
        return pair.found(
            "same" if is_whole else "same notes", f"is part {other} again{over}", 1.0 - 0.05 * (not is_whole), ()
        )
    moved = _moved(pair)
    if moved:
        return pair.found(f"same, {moved}", f"is part {other}, {moved}{over}", 0.9)
    return (
        _changed(pair, over, names)
        or _same_but_for_lengths(pair, over)
        or _same_from_elsewhere(song, pair, over)
        or _shared_beginning(song, pair)
        or _shared_ending(pair)
        or _same_shape(pair, same_chords)
    )


def _line(part: Part) -> tuple[Note, ...]:
    return tuple(note for note in part.notes if note.melody and not note.is_grace)


def _graces(part: Part) -> list[tuple[int, int]]:
    return [(note.onset, note.pitch.midi) for note in part.notes if note.melody and note.is_grace]


def _placed(notes: Sequence[Note]) -> list[tuple[int, int, int]]:
    return [(note.onset, note.duration, note.pitch.midi) for note in notes]


def _rhythm(notes: Sequence[Note]) -> list[tuple[int, int]]:
    return [(note.onset, note.duration) for note in notes]


def _struck(notes: Sequence[Note]) -> list[tuple[int, int]]:
    """When which key is struck, counted from the first note."""
    return [(note.onset - notes[0].onset, note.pitch.midi) for note in notes]


def _chords(part: Part) -> list[tuple[int, int, object]]:
    return [(chord.onset, chord.duration, chord.symbol) for chord in part.chords]


def _left_hand(part: Part) -> list[tuple[int, int, int]]:
    return [(note.onset, note.duration, note.pitch.midi) for note in part.notes if not note.melody]


def _moved(pair: _Pair) -> str:
    """How far a line is moved as a whole, in the letters of the key or by semitones alike; empty where it is not."""
    notes, known = pair.notes, pair.known
    if pair.here.rhythm != pair.there.rhythm:
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


def _changed(pair: _Pair, over: str, names: Names) -> Resemblance | None:
    """Parts of the same rhythm in which a few notes differ."""
    notes, known, other = pair.notes, pair.known, pair.other
    if pair.here.rhythm != pair.there.rhythm:
        return None
    changes = [
        place for place, (note, old) in enumerate(zip(notes, known, strict=True)) if note.pitch.midi != old.pitch.midi
    ]
    if not changes or len(changes) > min(MOST_CHANGES, len(notes) // 4):
        return None
    told = ", ".join(
        f"the {ordinal_word(place + 1)} note is {names.said(notes[place].pitch.name)} instead of "
        f"{names.said(known[place].pitch.name)}"
        for place in changes
    )
    count = "one note" if len(changes) == 1 else f"{number_word(len(changes))} notes"
    which = " and ".join(ordinal_word(place + 1) for place in changes[-2:])
    which = ", ".join([*(ordinal_word(place + 1) for place in changes[:-2]), which])
    return pair.found(
        f"same but for {count}",
        f"is part {other}{over}, but {told}",
        0.85 - 0.02 * len(changes),
        changes,
        f"is part {other}{over} but for {count}, the {which}",
    )


def _same_but_for_lengths(pair: _Pair, over: str) -> Resemblance | None:
    """The same keys struck at the same moments, held for other lengths."""
    notes, known = pair.notes, pair.known
    if notes[0].onset != known[0].onset or pair.here.struck != pair.there.struck:
        return None
    changes = [
        place for place, (note, old) in enumerate(zip(notes, known, strict=True)) if note.duration != old.duration
    ]
    told = _last_length(pair) if changes == [len(notes) - 1] else ", but some notes are held differently"
    return pair.found("same notes, held differently", f"is part {pair.other}{over}{told}", 0.93, changes)


def _last_length(pair: _Pair) -> str:
    last, old = pair.notes[-1].duration, pair.known[-1].duration
    return "" if last == old else f", but its last note is {'longer' if last > old else 'shorter'}"


def _same_from_elsewhere(song: Song, pair: _Pair, over: str) -> Resemblance | None:
    """The same notes, cut at another place of the bar, or with a pick-up that only one of the two has."""
    notes, known = pair.notes, pair.known
    more = len(notes) - len(known)
    longer, shorter = (notes, known) if more > 0 else (known, notes)
    lead_in = abs(more)
    if lead_in > min(LONGEST_LEAD_IN, len(shorter) // 2):
        return None
    tail = longer[lead_in:]
    if _struck(tail) != _struck(shorter) or _lengths(tail) != _lengths(shorter):
        return None
    first, old = (tail[0], shorter[0]) if more > 0 else (shorter[0], tail[0])
    if _place_in_bar(song, pair.number, first) != _place_in_bar(song, pair.other, old):
        return pair.found("same notes", f"is part {pair.other} again{over}, begun at another place in the bar", 0.7)
    told = _last_length(pair)
    changed = [*range(max(0, more)), *([len(notes) - 1] if told else ())]
    if not more:
        return pair.found("same notes", f"is part {pair.other} again{over}{told}", 0.92, changed)
    count = "one note" if lead_in == 1 else f"{number_word(lead_in)} notes"
    if more > 0:
        return pair.found(
            "same with a pick-up", f"is part {pair.other}{over} with {count} leading in{told}", 0.9, changed
        )
    missing = "its first note" if lead_in == 1 else f"its first {count}"
    return pair.found("same without its pick-up", f"is part {pair.other}{over} without {missing}{told}", 0.9, changed)


def _lengths(notes: Sequence[Note]) -> list[int]:
    """The lengths of all notes but the last."""
    return [note.duration for note in notes[:-1]]


def _place_in_bar(song: Song, number: int, note: Note) -> int:
    """Ticks from a note to the end of its bar, which a pick-up's bar shares with whole ones."""
    onset = song.part_onsets[number - 1] + note.onset
    return bar_at(song.bars, onset).end - onset


def _shared_beginning(song: Song, pair: _Pair) -> Resemblance | None:
    notes, known = pair.notes, pair.known
    shared = 0
    for note, old in zip(notes, known, strict=False):
        if (note.onset, note.pitch.midi) != (old.onset, old.pitch.midi):
            break
        shared += 1
    if shared < max(LEAST_NOTES, LEAST_SHARED * max(len(notes), len(known))):
        return None
    share = shared / max(len(notes), len(known))
    strength = 0.55 + 0.25 * share
    if shared == len(notes):
        told = f"is the beginning of part {pair.other}: its first {number_word(shared)} notes"
        return pair.found("beginning of it", told, strength, ())
    bar = bar_at(song.bars, song.part_onsets[pair.number - 1] + notes[shared].onset).number
    told = f"is part {pair.other} with a new ending from bar {bar}"
    return pair.found("same beginning", told, strength, range(shared, len(notes)))


def _from_end(line: Sequence[Note]) -> list[tuple[int, int]]:
    """When which key is struck, counted back from the last note."""
    return [(line[-1].onset - note.onset, note.pitch.midi) for note in reversed(line)]


def _shared_ending(pair: _Pair) -> Resemblance | None:
    notes, known = pair.notes, pair.known
    shared = 0
    for note, old in zip(pair.here.from_end, pair.there.from_end, strict=False):
        if note != old:
            break
        shared += 1
    if shared < max(LEAST_NOTES, LEAST_SHARED * max(len(notes), len(known))):
        return None
    share = shared / max(len(notes), len(known))
    told = f"ends as part {pair.other} does: the last {number_word(shared)} notes are the same"
    return pair.found("same ending", told, 0.5 + 0.2 * share, range(len(notes) - shared))


def _same_shape(pair: _Pair, same_chords: bool) -> Resemblance | None:
    same_rhythm = pair.here.rhythm == pair.there.rhythm
    same_contour = pair.here.contour == pair.there.contour
    if same_rhythm and same_contour:
        how, strength = "same rhythm and shape", 0.5
    elif same_rhythm:
        how, strength = "same rhythm", 0.4
    elif same_chords and pair.here.chords:
        how, strength = "same chords", 0.3
    else:
        return None
    return pair.found(how, f"has the {how} as part {pair.other}", strength)


def _contour(notes: Sequence[Note]) -> list[int]:
    moves = [after.pitch.midi - before.pitch.midi for before, after in pairwise(notes)]
    return [(move > 0) - (move < 0) for move in moves]

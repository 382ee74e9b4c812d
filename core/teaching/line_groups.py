"""How a line of notes falls into what is said in one go: the groups of a breath, and how their lengths are said.

A breath is at most seven notes (short-term memory holds seven, plus or minus two: Miller 1956).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from enum import Enum
from typing import Final

from msgspec import Struct

from core.song.note import Note
from core.teaching.counting import Counting
from core.teaching.melodic_moves import LEAP, SAME, Move, moves
from core.teaching.spoken_rhythm import SpokenLength, spoken_lengths
from core.teaching.strikes import Strike

LONGEST_BREATH: Final = 7
LEAST_FOR_USUAL: Final = 4
"""Among fewer notes each length is said."""
MORE_THAN_OTHERS: Final = 2
"""So many more notes than have other lengths make a length worth saying for most."""
LEAST_IN_PAIRS: Final = 4
"""From so many notes on, two lengths that take turns are said once, before them; two more where one is the usual."""
USUAL_TWELFTHS: Final = frozenset({3, 4, 6, 8, 12, 24, 36})
"""Lengths, in twelfths of a count, that most notes of a part may be said to have."""


class Said(Struct, frozen=True):
    """A note as it is said: what leads into it, how long it is held, how it is reached, what is struck above it."""

    note: Note
    graces: tuple[Note, ...]
    rhythm: SpokenLength
    move: Move | None
    above: tuple[Note, ...] = ()
    below_others: bool = False
    """Whether it is the key struck last, below other keys than then."""
    kept: tuple[tuple[int, tuple[Note, ...]], ...] = ()
    """Keys that stay down while others are struck, by how long they do, in ticks."""

    def goes_on_with(self, before: Said) -> bool:
        """Whether both are said in one go: single keys, or the same keys over and over."""
        if self.below_others or before.below_others or self.kept or before.kept:
            return False
        again = [one.move is not None and one.move.kind == SAME for one in (before, self)]
        return not (self.above or before.above) or all(again)


class Group(Struct, frozen=True):
    """Notes said in one go: reached by the same kind of move in the same direction, and equally long."""

    notes: tuple[Said, ...]

    @property
    def move(self) -> Move | None:
        """How the first of them is reached; None where the line begins."""
        return self.notes[0].move

    @property
    def held(self) -> int:
        """How long each of them is held, in ticks."""
        return self.notes[0].rhythm.held

    @property
    def wait(self) -> int:
        """How long is waited before the first of them, in ticks."""
        return self.notes[0].rhythm.wait


class How(Enum):
    """How the lengths of notes are said."""

    PLAIN = "own"
    SHARED = "shared"
    IN_PAIRS = "pairs"


class Run(Struct, frozen=True):
    """Groups in a row, and how their lengths are said."""

    how: How
    groups: tuple[Group, ...]


def as_said(melody: Sequence[Note], counting: Counting) -> tuple[list[Said], tuple[Note, ...]]:
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
    said = [Said(*every) for every in zip(sounding, graces, rhythm, moves(sounding), strict=True)]
    return said, tuple(pending)


def struck_as_said(struck: Sequence[Strike], counting: Counting) -> list[Said]:
    """What a hand strikes as it is said, by the lowest key of each stroke."""
    line = [strike.lowest for strike in struck]
    said: list[Said] = []
    before: Strike | None = None
    following = [*(strike.onset for strike in struck[1:]), None]
    rhythms = spoken_lengths(line, counting)
    for strike, rhythm, move, then in zip(struck, rhythms, moves(line), following, strict=True):
        others = move is not None and move.kind == SAME and before is not None and strike.keys != before.keys
        kept: dict[int, list[Note]] = {}
        for note in strike.notes:
            if then is not None and note.end - then >= counting.ticks:
                kept.setdefault(counting.plain(note.duration), []).append(note)
        held = tuple((length, tuple(notes)) for length, notes in kept.items())
        said.append(Said(strike.lowest, strike.graces, rhythm, move, strike.above, others, held))
        before = strike
    return said


def usual_length(said: Sequence[Said], counting: Counting) -> int:
    """The length that need not be said: a count, or the plain one that most of at least four notes have."""
    if len(said) < LEAST_FOR_USUAL:
        return counting.ticks
    length, how_many = Counter(note.rhythm.held for note in said).most_common(1)[0]
    twelfths, rest = divmod(12 * length, counting.ticks)
    plain = not rest and twelfths in USUAL_TWELFTHS
    return length if plain and 2 * how_many - len(said) >= MORE_THAN_OTHERS else counting.ticks


def groups_of(said: Sequence[Said]) -> list[Group]:
    """The notes gathered into groups; the first, and every leap, alone."""
    groups: list[list[Said]] = []
    for note in said:
        joins = (
            groups
            and note.move is not None
            and note.move.kind != LEAP
            and len(groups[-1]) < LONGEST_BREATH
            and not note.rhythm.wait
            and note.rhythm.held == groups[-1][-1].rhythm.held
            and note.move.joins(groups[-1][-1].move)
            and note.goes_on_with(groups[-1][-1])
        )
        if joins:
            groups[-1].append(note)
        else:
            groups.append([note])
    return [Group(tuple(group)) for group in groups]


def runs_of(groups: Sequence[Group], usual: int) -> list[Run]:
    """The groups of a line by how their lengths are said."""
    runs: list[Run] = []
    start = 0
    while start < len(groups):
        how, end = How.IN_PAIRS, _end_of_pairs(groups, start)
        if end - start < LEAST_IN_PAIRS + 2 * any(group.held == usual for group in groups[start : start + 2]):
            how, end = How.SHARED, start + 1
            while end < len(groups) and groups[end].held == groups[start].held and not groups[end].wait:
                end += 1
            if end == start + 1 or groups[start].held == usual:
                how, end = How.PLAIN, start + 1
        runs.append(Run(how, tuple(groups[start:end])))
        start = end
    return runs


def _end_of_pairs(groups: Sequence[Group], start: int) -> int:
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

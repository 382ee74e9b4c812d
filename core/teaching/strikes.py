"""What one hand strikes at a time: keys that go down together, and which strokes come again at once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import Final, TypeVar

from msgspec import Struct
from msgspec.structs import replace

from core.song.note import Note
from core.teaching.counting import Counting

TOGETHER: Final = Fraction(1, 12)
"""Counts; keys that go down less far apart are meant together (as in `core.teaching.counting.NEAR_ENOUGH`)."""
LONGEST_FIGURE: Final = 16
"""Strokes: a bar of sixteenths in four."""
LEAST_SPARED: Final = 4
"""A figure that comes again is said once from so many strokes on that need not be named then."""


class Strike(Struct, frozen=True):
    """Keys that go down together.

    Attributes:
        lowest: the lowest of them, begun with the first of them.
        above: the others, upwards.
        graces: the grace notes that lead into them.
    """

    lowest: Note
    above: tuple[Note, ...] = ()
    graces: tuple[Note, ...] = ()

    @property
    def onset(self) -> int:
        """Ticks from the part's start."""
        return self.lowest.onset

    @property
    def notes(self) -> tuple[Note, ...]:
        """Every key that goes down, upwards."""
        return (self.lowest, *self.above)

    @property
    def keys(self) -> tuple[int, ...]:
        """The MIDI numbers of the keys, upwards."""
        return tuple(note.pitch.midi for note in self.notes)


OCTAVE: Final = 12
"""Semitones."""


def is_octave(strike: Strike) -> bool:
    """Whether one key and its octave go down."""
    return len(strike.above) == 1 and strike.keys[1] - strike.keys[0] == OCTAVE


def together_ticks(counting: Counting) -> int:
    """How far apart two onsets may be that are meant together, in ticks."""
    return int(TOGETHER * counting.ticks)


def strikes(notes: Sequence[Note], counting: Counting) -> tuple[Strike, ...]:
    """The notes of one hand as it strikes them, in order; grace notes that lead to none of them are left out.

    Args:
        notes: of one hand, in order.
        counting: how the metre is counted.
    """
    near = together_ticks(counting)
    gathered: list[tuple[list[Note], list[Note]]] = []
    graces: list[Note] = []
    for note in notes:
        if note.is_grace:
            graces.append(note)
        elif gathered and note.onset - gathered[-1][0][0].onset <= near and not graces:
            gathered[-1][0].append(note)
        else:
            gathered.append(([note], graces))
            graces = []
    return tuple(_strike(struck, leading) for struck, leading in gathered)


def _strike(struck: Sequence[Note], graces: Sequence[Note]) -> Strike:
    if len(struck) == 1:
        return Strike(struck[0], (), tuple(graces))
    by_key = {note.pitch.midi: note for note in struck}
    lowest, *above = (by_key[midi] for midi in sorted(by_key))
    onset = struck[0].onset
    return Strike(replace(lowest, onset=onset, duration=lowest.end - onset), tuple(above), tuple(graces))


class Stretch(Struct, frozen=True):
    """Strokes in a row.

    Attributes:
        first: the first of them, by place.
        end: behind the last of them.
        more: how often they come again at once.
    """

    first: int
    end: int
    more: int

    @property
    def behind(self) -> int:
        """Behind the last time that they come."""
        return self.end + (self.end - self.first) * self.more


Stroke = TypeVar("Stroke")


def stretches(strokes: Sequence[Stroke], alike: Callable[[Stroke, Stroke], bool]) -> list[Stretch]:
    """Strokes cut where a figure begins that comes again at once, so that it is said once.

    Args:
        strokes: in order.
        alike: whether two of them are one in a figure.
    """
    count = len(strokes)
    # How many strokes from each on are those that come so many later.
    runs: list[list[int]] = []
    for size in range(min(LONGEST_FIGURE, count) + 1):
        row = [0] * (count + 1)
        for place in range(count - size - 1, -1, -1):
            row[place] = row[place + 1] + 1 if alike(strokes[place], strokes[place + size]) else 0
        runs.append(row)
    found: list[Stretch] = []
    plain = place = 0
    while place < count:
        sizes = range(2, min(LONGEST_FIGURE, (count - place) // 2) + 1)
        spared, size = max(((runs[size][place] // size * size, -size) for size in sizes), default=(0, -1))
        size = -size
        if spared < LEAST_SPARED or runs[1][place] >= size - 1:
            place += 1
            continue
        if plain < place:
            found.append(Stretch(plain, place, 0))
        found.append(Stretch(place, place + size, spared // size))
        plain = place = found[-1].behind
    if plain < count:
        found.append(Stretch(plain, count, 0))
    return found

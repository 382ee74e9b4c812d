"""What a part costs: by its notes, its chords, its length, and by how likely a phrase begins where it begins.

Six to fourteen notes are taken as what can be held in mind: two or three groups of three to five
(Cowan 2001 finds 3-5 chunks, Miller 1956 seven plus or minus two); one or two chords a part is common practice.
The weights were chosen on lead sheets; tests/benchmarks/bench_parts.py counts what they make of songs.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from math import log2
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from core.song.song import Song

FEWEST_NOTES: Final = 6
MOST_NOTES: Final = 14
USUAL_NOTES: Final = 8
USUAL_CHORDS: Final = 2
REPEATED_NOTE: Final = 0.4
"""What a repetition of the note before counts, against a new one."""
LONG_SONG: Final = 120
"""From this many notes on, the usual part grows with the cube root of the song's length."""


class Weights(Struct, frozen=True):
    """How much each thing counts in the cost of a part.

    Attributes:
        boundary: for each unit of surprise (minus the natural logarithm of the probability) that a phrase begins.
        notes: for each multiple of what can be held in mind that is too much, and for too few.
        overfull: the same for the square of what is too much.
        chords: for each different chord past the usual number.
        length: for the squared distance from the usual length, counted in doublings.
        off_bar: for a beginning inside a bar where none is likely.
        slur: for a beginning under a slur that comes from the note before.
        held_chord: for a beginning under a chord that is held on from before.
        part: for a part at all.
        agreement: for a beginning whose like elsewhere in the song begins no part, or the other way round.
        growth: how much larger than usual the parts of a long song may be.
        bar_lines: whether a part may begin at a bar line where the melody shows no phrase.
    """

    boundary: float = 0.75
    notes: float = 2.4
    overfull: float = 8.0
    chords: float = 0.7
    length: float = 0.7
    off_bar: float = 0.25
    slur: float = 1.5
    held_chord: float = 0.05
    part: float = 0.1
    agreement: float = 0.8
    growth: float = 1.1
    bar_lines: bool = True


USUAL_WEIGHTS: Final = Weights()


class Place(Struct, frozen=True):
    """A place where a part may begin: its tick, its first melody note, its cost, and whether it must be cut."""

    tick: int
    note: int
    cost: float
    forced: bool


class Harmony(Struct, frozen=True):
    """The chords of a song: when they begin and end, and a number for each symbol."""

    onsets: tuple[int, ...]
    ends: tuple[int, ...]
    symbols: tuple[int, ...]

    @classmethod
    def of(cls, song: Song) -> Harmony:
        """The chords that sound."""
        chords = [(onset, chord) for onset, chord in song.placed_chords() if not chord.symbol.is_silent]
        numbers: dict[object, int] = {}
        return cls(
            tuple(onset for onset, _ in chords),
            tuple(onset + chord.duration for onset, chord in chords),
            tuple(numbers.setdefault(chord.symbol, len(numbers)) for _, chord in chords),
        )

    def different(self, start: int, end: int) -> int:
        """How many different chords sound between two ticks."""
        return len(set(self.symbols[bisect_right(self.ends, start) : bisect_left(self.onsets, end)]))

    def is_held_over(self, tick: int) -> bool:
        """Whether the chord before a tick goes on at it, struck again or not."""
        here = bisect_right(self.onsets, tick) - 1
        if here < 0 or self.ends[here] <= tick:
            return False
        if self.onsets[here] < tick:
            return True
        return here > 0 and self.ends[here - 1] == tick and self.symbols[here - 1] == self.symbols[here]


class Weighing(Struct, frozen=True):
    """What the cost of a part is reckoned from.

    Attributes:
        weights: how much each thing counts.
        load: notes to hold in mind before each melody note, repetitions counted in part; one more at the end.
        harmony: the song's chords.
        usual_ticks: the usual length of a part.
        usual_notes: the usual number of notes to hold in mind.
        length: of the song.
    """

    weights: Weights
    load: tuple[float, ...]
    harmony: Harmony
    usual_ticks: float
    usual_notes: float
    length: int

    @classmethod
    def of(
        cls, song: Song, melody: Sequence[tuple[int, int, int]], places: Sequence[Place], weights: Weights
    ) -> Weighing:
        """The weighing of a song with a melody (onset, duration, MIDI number) and the places where it may be cut."""
        load = [0.0]
        for index, note in enumerate(melody):
            repeated = index > 0 and melody[index - 1][2] == note[2]
            load.append(load[-1] + (REPEATED_NOTE if repeated else 1.0))
        stretch = min(weights.growth, max(1.0, len(melody) / LONG_SONG) ** (1 / 3))
        usual_notes = stretch * USUAL_NOTES
        parts = max(1, round(load[-1] / usual_notes), sum(place.forced for place in places))
        return cls(weights, tuple(load), Harmony.of(song), song.length / parts, usual_notes, song.length)

    def for_count(self, count: int) -> Weighing:
        """The same with a part's usual size drawn from a wanted number of parts."""
        usual_notes = max(self.usual_notes, self.load[-1] / count)
        return replace(self, usual_ticks=self.length / count, usual_notes=usual_notes)

    def cost(self, first: Place, end_tick: int, end_note: int) -> float:
        """The cost of a part from a place up to an end."""
        weights = self.weights
        notes = self.load[end_note] - self.load[first.note]
        scale = self.usual_notes / USUAL_NOTES
        over = max(0.0, notes / (MOST_NOTES * scale) - 1.0)
        under = max(0.0, 1.0 - notes / (FEWEST_NOTES * scale))
        different = self.harmony.different(first.tick, end_tick)
        length = log2((end_tick - first.tick) / self.usual_ticks)
        return (
            weights.part
            + first.cost
            + weights.notes * (over + under * under)
            + weights.overfull * over * over
            + weights.chords * max(0, different - USUAL_CHORDS)
            + weights.length * length * length
        )

    def is_too_long(self, first: Place, end_note: int) -> bool:
        """Whether a part longer than this cannot be worth weighing."""
        return self.load[end_note] - self.load[first.note] > 6 * self.usual_notes

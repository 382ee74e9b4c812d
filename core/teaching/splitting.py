"""Where a song is cut: phrases, and the parts to teach.

Parts are the best partition of the song, found exactly by dynamic programming: every way to cut at the starts of
melody notes is weighed, and the cheapest taken. A part costs by its number of notes to hold in mind, its
different chords, its length against the usual one, and by how unlikely a phrase begins where it begins.

Six to fourteen notes are taken as what can be held in mind: two or three groups of three to five
(Cowan 2001 finds 3-5 chunks, Miller 1956 seven plus or minus two); one or two chords a part is common practice.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import inf, log, log2
from typing import Final

from core.song.errors import DomainError
from core.song.metre import Bar
from core.song.song import Song
from core.teaching.boundaries import PHRASE_LIKELY, boundary_strengths

FEWEST_NOTES: Final = 6
MOST_NOTES: Final = 14
USUAL_NOTES: Final = 8
USUAL_CHORDS: Final = 2
REPEATED_NOTE: Final = 0.4
"""What a repetition of the note before counts, against a new one."""
LONG_SONG: Final = 120
"""From this many notes on, the usual part grows with the cube root of the song's length."""
SECTION_LIKELY: Final = 0.25
"""From this probability on the first note of a section begins a phrase."""
LEAST_STRENGTH: Final = 0.02
MOST_CANDIDATES: Final = 400

BOUNDARY_COST: Final = 0.45
NOTES_COST: Final = 1.6
CHORDS_COST: Final = 0.4
LENGTH_COST: Final = 0.5
OFF_BAR_COST: Final = 0.25
PART_COST: Final = 0.15


def phrase_onsets(song: Song) -> tuple[int, ...]:
    """The ticks at which phrases begin: the onsets of their first notes, counted from the song's start.

    Parts that are not the ones proposed were cut by a teacher, and a part cut by a teacher begins a phrase; so does
    a section (what a repeat sign cuts), unless the melody plainly runs on, as it does into a second ending. A guess
    within a bar of such a place is the same boundary heard elsewhere, and gives way. Empty without a melody.
    """
    melody = _melody(song)
    strengths = dict(zip((note[0] for note in melody), _strengths(tuple(melody), song.bars), strict=True))
    guessed = tuple(onset for onset, strength in strengths.items() if strength >= PHRASE_LIKELY)
    forced = _forced_cuts(song)
    first_notes = _first_notes(song, melody)
    given = tuple(first_notes.values())
    if song.part_onsets in (forced, propose_cuts(song)):
        sections = (first_notes[cut] for cut in forced if cut in first_notes)
        given = tuple(onset for onset in sections if strengths[onset] >= SECTION_LIKELY)
    kept = (
        onset
        for onset in guessed
        if all(onset == cut or abs(onset - cut) > song.metre_at(onset).bar_ticks for cut in given[1:])
    )
    return tuple(sorted({*given, *kept}))


def _first_notes(song: Song, melody: Sequence[tuple[int, int, int]]) -> dict[int, int]:
    """The onset of each part's first melody note, by the part's own onset; parts without one are left out."""
    onsets = [note[0] for note in melody]
    found: dict[int, int] = {}
    for start, part in zip(song.part_onsets, song.parts, strict=True):
        first = bisect_left(onsets, start)
        if first < len(onsets) and onsets[first] < start + part.duration:
            found[start] = onsets[first]
    return found


@lru_cache(maxsize=16)
def _strengths(melody: tuple[tuple[int, int, int], ...], bars: tuple[Bar, ...]) -> tuple[float, ...]:
    """As `boundary_strengths`; kept, since cuts and phrases of one melody are asked for one after the other."""
    return boundary_strengths(melody, bars)


def propose_cuts(song: Song, count: int | None = None) -> tuple[int, ...]:
    """Where the parts of a song should begin.

    Args:
        song: its present parts matter only where the playing order does not run on from one to the next:
            those borders (repeats and endings) stay.
        count: how many parts are wanted; None to let it follow from the song's length. The nearest number that
            the song allows is taken.

    Returns:
        Ticks from the song's start, rising, the first 0. A pick-up belongs to the part it leads into.

    Raises:
        DomainError: for a count below 1.
    """
    if count is not None and count < 1:
        raise DomainError("the number of parts", count, "1 or more")
    forced = _forced_cuts(song)
    melody = _melody(song)
    if len(melody) < 2:
        return forced
    places = _places(song, melody, forced)
    return _cheapest(_Weighing.of(song, melody, places), places, count)


def _melody(song: Song) -> list[tuple[int, int, int]]:
    """Onset, duration and MIDI number of every melody note, one at each moment."""
    melody: list[tuple[int, int, int]] = []
    for onset, note in song.placed_notes():
        if note.melody and not note.is_grace:
            if melody and melody[-1][0] == onset:
                melody.pop()
            melody.append((onset, note.duration, note.pitch.midi))
    return melody


def _forced_cuts(song: Song) -> tuple[int, ...]:
    """The song's start and the borders of parts over which the playing order does not run on."""
    onsets = (*song.part_onsets, song.length)
    order = song.playing_order
    cuts = {0, onsets[order[0] - 1], onsets[order[-1]]}
    for here, following in pairwise(order):
        if following != here + 1:
            cuts |= {onsets[here], onsets[following - 1]}
    return tuple(sorted(cuts - {song.length}))


@dataclass(frozen=True, slots=True)
class _Place:
    """A place where a part may begin: its tick, its first melody note, its cost, and whether it must be cut."""

    tick: int
    note: int
    cost: float
    forced: bool


def _places(song: Song, melody: Sequence[tuple[int, int, int]], forced: Sequence[int]) -> list[_Place]:
    bars = song.bars
    strengths = _strengths(tuple(melody), bars)
    places: dict[int, _Place] = {}
    for index in range(1, len(melody)):
        if strengths[index] < LEAST_STRENGTH:
            continue
        tick = _cut_before(melody, index, bars)
        cost = -BOUNDARY_COST * log(min(0.98, strengths[index]))
        if not any(bar.onset == tick for bar in bars[max(0, bisect_right(_onsets(bars), tick) - 1) :][:1]):
            cost += OFF_BAR_COST * (1 - strengths[index])
        if 0 < tick < song.length:
            places[tick] = _Place(tick, index, cost, forced=False)
    weakest = sorted(places.values(), key=lambda place: place.cost)[MOST_CANDIDATES:]
    for place in weakest:
        del places[place.tick]
    starts = [note[0] for note in melody]
    for tick in forced:
        places[tick] = _Place(tick, bisect_left(starts, tick), 0.0, forced=True)
    return [places[tick] for tick in sorted(places)]


def _onsets(bars: Sequence[Bar]) -> list[int]:
    return [bar.onset for bar in bars]


def _cut_before(melody: Sequence[tuple[int, int, int]], index: int, bars: Sequence[Bar]) -> int:
    """Where a part that begins with a note is cut.

    At the bar line where the bar begins with a silence of up to half of it (a chord may land there alone), else at
    the note itself. A note at the place of the bar where the song's own pick-up begins is a pick-up again.
    """
    onset = melody[index][0]
    bar = bars[max(0, bisect_right(_onsets(bars), onset) - 1)]
    into = onset - bar.onset
    if into == 0 or (bars[0].number == 0 and bar.duration - into == bars[0].end - melody[0][0]):
        return onset
    is_silent = melody[index - 1][0] < bar.onset and melody[index - 1][0] + melody[index - 1][1] <= bar.onset
    return bar.onset if is_silent and 2 * into <= bar.duration else onset


@dataclass(frozen=True, slots=True)
class _Weighing:
    """What the cost of a part is reckoned from.

    Attributes:
        load: notes to hold in mind before each melody note, repetitions counted in part; one more at the end.
        chord_onsets: ticks of the chords.
        chord_ends: ticks at which they end.
        symbols: a number for each chord's symbol.
        usual_ticks: the usual length of a part.
        usual_notes: the usual number of notes to hold in mind.
        length: of the song.
    """

    load: tuple[float, ...]
    chord_onsets: tuple[int, ...]
    chord_ends: tuple[int, ...]
    symbols: tuple[int, ...]
    usual_ticks: float
    usual_notes: float
    length: int

    @classmethod
    def of(cls, song: Song, melody: Sequence[tuple[int, int, int]], places: Sequence[_Place]) -> _Weighing:
        load = [0.0]
        for index, note in enumerate(melody):
            repeated = index > 0 and melody[index - 1][2] == note[2]
            load.append(load[-1] + (REPEATED_NOTE if repeated else 1.0))
        chords = [(onset, chord) for onset, chord in song.placed_chords() if not chord.symbol.is_silent]
        numbers: dict[object, int] = {}
        symbols = tuple(numbers.setdefault(chord.symbol, len(numbers)) for _, chord in chords)
        stretch = max(1.0, len(melody) / LONG_SONG) ** (1 / 3)
        usual_notes = stretch * USUAL_NOTES
        parts = max(1, round(load[-1] / usual_notes), sum(place.forced for place in places))
        return cls(
            tuple(load),
            tuple(onset for onset, _ in chords),
            tuple(onset + chord.duration for onset, chord in chords),
            symbols,
            song.length / parts,
            usual_notes,
            song.length,
        )

    def for_count(self, count: int) -> _Weighing:
        """The same with a part's usual size drawn from a wanted number of parts."""
        return _Weighing(
            self.load,
            self.chord_onsets,
            self.chord_ends,
            self.symbols,
            self.length / count,
            max(self.usual_notes, self.load[-1] / count),
            self.length,
        )

    def cost(self, first: _Place, end_tick: int, end_note: int) -> float:
        """The cost of a part from a place up to an end."""
        notes = self.load[end_note] - self.load[first.note]
        scale = self.usual_notes / USUAL_NOTES
        over = max(0.0, notes / (MOST_NOTES * scale) - 1.0)
        under = max(0.0, 1.0 - notes / (FEWEST_NOTES * scale))
        low = bisect_right(self.chord_ends, first.tick)
        high = bisect_left(self.chord_onsets, end_tick)
        different = len(set(self.symbols[low:high]))
        length = log2((end_tick - first.tick) / self.usual_ticks)
        return (
            PART_COST
            + first.cost
            + NOTES_COST * (over + under**2)
            + CHORDS_COST * max(0, different - USUAL_CHORDS)
            + LENGTH_COST * length * length
        )


def _cheapest(weighing: _Weighing, places: Sequence[_Place], count: int | None) -> tuple[int, ...]:
    """The cheapest cuts, by dynamic programming over the number of parts (one layer where it is free)."""
    last_note = len(weighing.load) - 1
    ends = [(place.tick, place.note) for place in places[1:]] + [(weighing.length, last_note)]
    if count is None:
        costs, before = [0.0] + [inf] * len(ends), [0] * (len(ends) + 1)
        for end, (tick, note) in enumerate(ends, start=1):
            for start in range(end - 1, -1, -1):
                cost = costs[start] + weighing.cost(places[start], tick, note)
                if cost < costs[end]:
                    costs[end], before[end] = cost, start
                if places[start].forced or _is_too_long(weighing, places[start], note):
                    break
        return _walk_back(places, [before] * (len(ends) + 1), len(ends), None)
    count = max(sum(place.forced for place in places), min(count, len(places)))
    weighing = weighing.for_count(count)
    part_costs = [
        {start: weighing.cost(places[start], tick, note) for start in range(_latest_forced(places, end), end)}
        for end, (tick, note) in enumerate(ends, start=1)
    ]
    costs = [0.0] + [inf] * len(ends)
    layers: list[list[int]] = [[0] * (len(ends) + 1)]
    for _ in range(count):
        grown, before = [inf] * (len(ends) + 1), [0] * (len(ends) + 1)
        for end in range(1, len(ends) + 1):
            for start, part_cost in part_costs[end - 1].items():
                if costs[start] + part_cost < grown[end]:
                    grown[end], before[end] = costs[start] + part_cost, start
        costs = grown
        layers.append(before)
    return _walk_back(places, layers, len(ends), count)


def _is_too_long(weighing: _Weighing, first: _Place, end_note: int) -> bool:
    """Whether a longer part cannot be worth weighing."""
    return weighing.load[end_note] - weighing.load[first.note] > 6 * weighing.usual_notes


def _latest_forced(places: Sequence[_Place], end: int) -> int:
    return max(index for index in range(end) if places[index].forced)


def _walk_back(
    places: Sequence[_Place], layers: Sequence[Sequence[int]], end: int, count: int | None
) -> tuple[int, ...]:
    cuts: list[int] = []
    layer = count if count is not None else 0
    while end > 0:
        end = layers[layer][end]
        cuts.append(places[end].tick)
        if count is not None:
            layer -= 1
    return tuple(reversed(cuts))

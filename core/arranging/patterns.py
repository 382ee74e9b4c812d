"""Left-hand patterns as data: what is struck in two, three or four beats, and from there in every metre.

A bar is played by the grid of its own length where the pattern has one, else by grids of four, three, two and one
beat one after another: 5/4 is three beats and two, 12/8 is four dotted beats. A chord that begins inside the bar
begins the pattern anew in the beats it has; patterns of one rhythm to the bar keep that rhythm instead.

Names and definitions are the trade's generic ones (common practice); those that several keyboard texts define are
checked against them in `tests/reference/test_patterns.py`.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Final

from msgspec import Struct

from core.arranging.beats import Beat, bar_line, beats_in, beats_of
from core.arranging.grid_words import spoken_grids
from core.song.errors import DomainError
from core.song.metre import Bar, Metre
from core.song.pattern_grid import Grid, OwnPattern, Stroke
from core.song.wording import say, say_in

THREES_FIRST: Final = (5, 6, 7)
"""Lengths in beats that begin with three: 5 is 3 + 2, 7 is 3 + 4."""
_THIRDS_FROM_HALVES: Final = {1: (0,), 2: (0, 2), 3: (0, 1, 2), 4: (0, 1, 2, None), 6: (0, None, 1, None, 2, None)}
_HALVES_FROM_THIRDS: Final = {
    1: (0,),
    2: (0, 1),
    3: (0, 1, None),
    4: (0, None, 1, None),
    6: (0, None, None, 1, None, None),
}
"""Where each cell of a beat goes when a beat falls otherwise; None for nowhere."""


class LeftHandPattern(Struct, frozen=True):
    """A way for the left hand to play its chords.

    Attributes:
        name: how files name it.
        title_text: its title, to be said; the name that the teacher gave it, where it is one of the teacher's own.
        words_text: what the teacher says of it in any metre, to be said; empty for one of the teacher's own.
        grids: what is struck, for one or more lengths; empty for one that is not a grid (`walking`).
        keeps_bar: whether its rhythm belongs to the bar, so that a chord inside the bar does not begin it anew.
        over_chord: whether it is struck once for a chord, however many bars that lasts.
        by_metre: whether what is struck differs from metre to metre, so that it is said for each.
        is_own: whether it is the teacher's own.
    """

    name: str
    title_text: str
    words_text: str
    grids: tuple[Grid, ...] = ()
    keeps_bar: bool = False
    over_chord: bool = False
    by_metre: bool = False
    is_own: bool = False

    @property
    def title(self) -> str:
        """How screens and plans name it."""
        return self.title_text if self.is_own else say_in("pattern of the left hand", self.title_text)

    @property
    def words(self) -> str:
        """How the teacher introduces it, in any metre."""
        return _left_hand_words(self.grids[:1]) if self.is_own else say(self.words_text)

    def words_in(self, metre: Metre) -> str:
        """What is struck in a bar of a metre: 'Left hand: root, fifth, octave, fifth, one to each half beat'."""
        if not self.by_metre:
            return self.words
        return _left_hand_words(tuple(grid for grid, _ in grids_for(self, beats_of(metre))))


class Struck(Struct, frozen=True):
    """A stroke of a pattern in a song: ticks from the song's start, and tones of the chord."""

    onset: int
    end: int
    tones: tuple[str, ...]


def strokes_of(pattern: LeftHandPattern, bars: Sequence[Bar], start: int, end: int) -> tuple[Struck, ...]:
    """What a pattern strikes for a chord from one moment to another, in ticks from the song's start.

    The first stroke is at the chord's start, and nothing sounds past its end.
    """
    if pattern.over_chord:
        return (Struck(start, end, pattern.grids[0].strokes[0].tones),)
    struck: list[Struck] = []
    for bar in bars:
        if bar.end > start and bar.onset < end:
            struck.extend(_in_bar(pattern, bar, max(start, bar.onset), min(end, bar.end)))
    return tuple(struck)


def _in_bar(pattern: LeftHandPattern, bar: Bar, start: int, end: int) -> list[Struck]:
    beats = beats_in(bar)
    if pattern.keeps_bar and bar.number and bar.duration == bar.metre.bar_ticks:
        struck = _laid(pattern, beats)
    else:
        struck = _laid(pattern, [beat for beat in beats if beat.onset >= start and beat.onset < end])
    first = pattern.grids[0].strokes[0].tones
    inside = [Struck(one.onset, min(one.end, end), one.tones) for one in struck if start <= one.onset < end]
    if start == bar_line(bar) or (inside and inside[0].onset == start):
        return inside
    # The chord comes between two strokes: it is struck at once, and held until the pattern goes on.
    until = min([one.onset for one in inside[:1]] + [beat.end for beat in beats if beat.end > start][:1] + [end])
    if pattern.keeps_bar:
        until = inside[0].onset if inside else end
    return [Struck(start, until, first), *inside]


def _laid(pattern: LeftHandPattern, beats: Sequence[Beat]) -> list[Struck]:
    struck: list[Struck] = []
    place = 0
    for grid, count in grids_for(pattern, beats):
        taken = beats[place : place + count]
        place += count
        edges = [beat.onset + beat.duration * cell // grid.division for beat in taken for cell in range(grid.division)]
        edges.append(taken[-1].end)
        last = len(edges) - 1
        struck.extend(
            Struck(edges[stroke.cell], edges[min(stroke.cell + stroke.cells, last)], stroke.tones)
            for stroke in grid.strokes
            if stroke.cell < last
        )
    return struck


def grids_for(pattern: LeftHandPattern, beats: Sequence[Beat]) -> list[tuple[Grid, int]]:
    """Grids one after another for some beats, each with how many of them it takes."""
    found: list[tuple[Grid, int]] = []
    place = 0
    while place < len(beats):
        alike = 1
        while place + alike < len(beats) and beats[place + alike].compound == beats[place].compound:
            alike += 1
        for size in _sizes(pattern, alike, beats[place].compound):
            found.append((_grid(pattern.grids, size, beats[place].compound), size))
            place += size
    return found


def _sizes(pattern: LeftHandPattern, count: int, compound: bool) -> tuple[int, ...]:
    """How many beats each grid takes; a length for which there is none is made of shorter ones, threes first."""
    of_kind = [grid.beats for grid in pattern.grids if grid.compound == compound]
    own = {beats for beats in of_kind or [grid.beats for grid in pattern.grids] if beats <= count}
    if not own or count in own:
        return (count,)
    if count in THREES_FIRST and 3 in own:
        first = 3
    else:
        first = max((beats for beats in own if count % beats == 0 and beats > 1), default=max(own))
    return (first, *_sizes(pattern, count - first, compound)) if count > first else (first,)


@lru_cache(maxsize=1024)
def _grid(grids: tuple[Grid, ...], beats: int, compound: bool) -> Grid:
    """The grid for so many beats: the pattern's own, else its nearest longer one cut short or one repeated."""
    of_kind = [grid for grid in grids if grid.compound == compound] or [_turned(grid, compound) for grid in grids]
    exact = next((grid for grid in of_kind if grid.beats == beats), None)
    if exact is not None:
        return exact
    longer = [grid for grid in of_kind if grid.beats > beats and grid.strokes[0].cell < beats * grid.division]
    if longer:
        return _cut(min(longer, key=lambda grid: grid.beats), beats)
    source = max(of_kind, key=lambda grid: grid.beats)
    times = -(-beats // source.beats)
    repeated = tuple(
        Stroke(stroke.cell + time * source.cells, stroke.cells, stroke.tones)
        for time in range(times)
        for stroke in source.strokes
    )
    return _cut(Grid(times * source.beats, source.division, repeated, compound), beats)


def _cut(grid: Grid, beats: int) -> Grid:
    cells = beats * grid.division
    strokes = tuple(
        Stroke(stroke.cell, min(stroke.cells, cells - stroke.cell), stroke.tones)
        for stroke in grid.strokes
        if stroke.cell < cells
    )
    return Grid(beats, grid.division, strokes, grid.compound)


def _turned(grid: Grid, compound: bool) -> Grid:
    """A grid for plain beats laid over dotted ones, or the other way; what has no place there is left out."""
    division = 1 if grid.division == 1 else 3 if compound else 2
    table = (_THIRDS_FROM_HALVES if compound else _HALVES_FROM_THIRDS).get(grid.division)
    places: dict[int, Stroke] = {}
    for stroke in grid.strokes:
        beat, cell = divmod(stroke.cell, grid.division)
        at = cell * division // grid.division if table is None else table[cell]
        if at is not None:
            places.setdefault(beat * division + at, stroke)
    starts = sorted(places) or [0]
    ends = [*starts[1:], grid.beats * division]
    strokes = []
    for start, end in zip(starts, ends, strict=True):
        stroke = places.get(start, grid.strokes[0])
        length = max(1, round(stroke.cells * division / grid.division))
        strokes.append(Stroke(start, min(length, end - start), stroke.tones))
    return Grid(grid.beats, division, tuple(strokes), compound)


def own_pattern(own: OwnPattern) -> LeftHandPattern:
    """A teacher's own pattern as one of the left hand's."""
    return LeftHandPattern(own.name, own.name, "", own.grids, by_metre=True, is_own=True)


def _left_hand_words(grids: Sequence[Grid]) -> str:
    return say("Left hand: {strokes}.", strokes=spoken_grids(grids))


def pattern_of(name: str, patterns: Sequence[LeftHandPattern]) -> LeftHandPattern:
    """The pattern with a name; raises DomainError for an unknown one."""
    for pattern in patterns:
        if pattern.name == name:
            return pattern
    raise DomainError(
        say("a left-hand pattern"), name, say("one of {names}", names=", ".join(pattern.name for pattern in patterns))
    )

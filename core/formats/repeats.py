"""From repeat signs, endings and jumps to sections and the order in which they are played.

Nothing is unfolded in the notes: a song keeps each section once, and a playing order says how it goes. The rules
are those of common practice: a repeat goes back to the last repeat start (or to what follows the last repeat);
an ending is played in its passes only, and one that another ending follows goes back also where its sign is missing;
after D.C. or D.S. repeats are not taken again, the last ending is
played, and the music goes on to Fine or from the coda sign to the coda.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from core.formats.source import SourceBar
from core.song.wording import say

LONGEST_PLAYING: Final = 50
"""How many times its written bars a song may play before its signs are taken to go round in a circle."""


class Sections(Struct, frozen=True):
    """Sections of a source and their playing order.

    Attributes:
        starts: index of the first bar of each section; the first is 0.
        order: section numbers from 1, as they are played.
        warnings: signs that make no sense.
    """

    starts: tuple[int, ...]
    order: tuple[int, ...]
    warnings: tuple[str, ...] = ()


def sections_of(bars: Sequence[SourceBar]) -> Sections:
    """The sections that repeat signs, endings and jumps cut a source into, and how they are played."""
    starts = [0]
    for index, (before, bar) in enumerate(pairwise(bars), start=1):
        ends = before.repeat_times or before.to_coda or before.fine or before.jump
        begins = bar.repeat_start or bar.segno or bar.coda
        if ends or begins or before.endings != bar.endings:
            starts.append(index)
    bars = _renumbered(bars)
    numbers = {start: number for number, start in enumerate(starts, start=1)}
    played = _Playing(bars).played()
    if played is None:
        warning = say("The repeat signs go round in a circle; the sections are played once each, in written order.")
        return Sections(tuple(starts), tuple(numbers.values()), (warning,))
    order = tuple(numbers[index] for index in played if index in numbers)
    warnings = []
    missing = sorted(set(numbers.values()) - set(order))
    if missing:
        first = ", ".join(str(starts[number - 1] + 1) for number in missing)
        warnings.append(
            say(
                "By its repeat signs and endings the song never plays the section that begins in bar {bars}.",
                bars=first,
            )
        )
    return Sections(tuple(starts), order, tuple(warnings))


class _Playing:
    """Plays through bars by their signs."""

    def __init__(self, bars: Sequence[SourceBar]) -> None:
        self._bars = bars
        self._last_pass = _last_passes(bars)
        self._groups = [-1] * len(bars)
        for number, group in enumerate(_ending_groups(bars)):
            start, end = group[0][0], group[-1][1]
            self._groups[start:end] = [number] * (end - start)
        self._start = 0
        self._pass = 1
        self._jumped = False

    def played(self) -> list[int] | None:
        """Indexes of bars as they are played, or None where the signs go round in a circle."""
        played: list[int] = []
        index: int | None = 0
        while index is not None and index < len(self._bars):
            bar = self._bars[index]
            if bar.repeat_start and index != self._start:
                self._start, self._pass = index, 1
            if bar.endings and not self._is_this_pass(index):
                index = self._after_ending(index)
                continue
            played.append(index)
            if len(played) > LONGEST_PLAYING * len(self._bars):
                return None
            index = self._next(index)
        return played

    def _is_this_pass(self, index: int) -> bool:
        endings = self._bars[index].endings
        if self._jumped:
            return self._last_pass[index] in endings
        return min(self._pass, self._last_pass[index]) in endings

    def _after_ending(self, index: int) -> int:
        endings = self._bars[index].endings
        while index < len(self._bars) and self._bars[index].endings == endings:
            index += 1
        if index == len(self._bars) or not self._bars[index].endings:
            self._start, self._pass = index, 1
        return index

    def _next(self, index: int) -> int | None:
        bar = self._bars[index]
        if self._jumped and bar.fine:
            return None
        if self._jumped and bar.to_coda:
            return next((place for place, other in enumerate(self._bars) if other.coda and place > index), None)
        if bar.repeat_times and not self._jumped:
            last = self._last_pass[index] if bar.endings else bar.repeat_times
            if self._pass < last:
                self._pass += 1
                return self._start
        if bar.jump and not self._jumped:
            self._jumped = True
            back = 0
            if bar.jump == "segno":
                back = next((place for place, other in enumerate(self._bars) if other.segno), 0)
            self._start, self._pass = back, 1
            return back
        if bar.endings and index + 1 < len(self._bars) and self._bars[index + 1].endings != bar.endings:
            if self._groups[index] == self._groups[index + 1] and not self._jumped:
                self._pass += 1
                return self._start
            self._start, self._pass = index + 1, 1
        elif bar.repeat_times:
            self._start, self._pass = index + 1, 1
        return index + 1


def _ending_groups(bars: Sequence[SourceBar]) -> list[list[tuple[int, int]]]:
    """Endings that stand side by side, each as its first bar and the bar after its last.

    A lower number than in the ending before begins a group of its own.
    """
    groups: list[list[tuple[int, int]]] = []
    index = 0
    while index < len(bars):
        endings = bars[index].endings
        end = index + 1
        while end < len(bars) and bars[end].endings == endings and not bars[end - 1].repeat_times:
            end += 1
        if endings:
            before = bars[index - 1].endings if index else ()
            if groups and before and min(before) <= min(endings):
                groups[-1].append((index, end))
            else:
                groups.append([(index, end)])
        index = end
    return groups


def _renumbered(bars: Sequence[SourceBar]) -> list[SourceBar]:
    """Bars whose endings count on from 1: endings 1 and 3 side by side are for passes 1 and 2."""
    renumbered = list(bars)
    for group in _ending_groups(bars):
        numbers = [number for first, _ in group for number in bars[first].endings]
        if sorted(numbers) == list(range(1, len(numbers) + 1)):
            continue
        following = 1
        for first, end in group:
            passes = tuple(range(following, following + len(bars[first].endings)))
            following += len(passes)
            renumbered[first:end] = [replace(bar, endings=passes) for bar in bars[first:end]]
    return renumbered


def _last_passes(bars: Sequence[SourceBar]) -> list[int]:
    """For each bar in an ending the last pass of the endings that stand side by side there; else 0.

    A single ending that ends with a repeat sign is followed by one more pass, which leaves it out.
    """
    passes = [0] * len(bars)
    for group in _ending_groups(bars):
        start, end = group[0][0], group[-1][1]
        last = max(max(bars[first].endings) for first, _ in group)
        if len(group) == 1 and any(bar.repeat_times for bar in bars[start:end]):
            last += 1
        passes[start:end] = [last] * (end - start)
    return passes

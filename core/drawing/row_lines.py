"""A row of the sheet broken into lines: where a moment of a part is drawn, and which moment a place means.

Lines are broken at bar lines, as evenly as the bars allow; a bar wider than the row is broken at its beats, a beat
wider than the row at its units.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from itertools import pairwise

from msgspec import Struct

from core.song.metre import Bar


class SheetLine(Struct, frozen=True):
    """One line of a row.

    Attributes:
        start: first tick, from the part's start.
        end: tick after the last.
        left: pixel at which `start` is drawn.
        top: pixel of the line's upper edge.
        notes_top: pixel of the highest staff step.
        notes_bottom: pixel of the lowest staff step.
        chords_top: pixel of the upper edge of the left hand's bars.
        bottom: pixel of the line's lower edge.
        left_top: pixel of the upper edge of the beads of a left hand written out under its chords.
    """

    start: int
    end: int
    left: float
    top: float
    notes_top: float
    notes_bottom: float
    chords_top: float
    bottom: float
    left_top: float = 0.0

    def holds(self, tick: int) -> bool:
        """Whether a moment of the part is drawn in this line."""
        return self.start <= tick < self.end


def bars_within(bars: Sequence[Bar], onset: int, duration: int) -> tuple[Bar, ...]:
    """The bars that a stretch of the song touches, in song time and uncut."""
    first = max(0, bisect_right(bars, onset, key=lambda bar: bar.onset) - 1)
    last = bisect_right(bars, onset + duration - 1, key=lambda bar: bar.onset)
    return tuple(bars[first:last])


def break_lines(bars: Sequence[Bar], onset: int, duration: int, longest: int | None) -> tuple[tuple[int, int], ...]:
    """Where the lines of a part begin and end, in ticks from its start.

    Args:
        bars: the bars that the part touches, in song time.
        onset: the part's start in song time.
        duration: the part's length.
        longest: ticks that fit in a line, or None for a single line.
    """
    if longest is None or duration <= longest:
        return ((0, duration),)
    stops = _stops(bars, onset, duration, max(1, longest))
    fewest = len(_fill(stops, longest))
    narrowest = max(after - before for before, after in pairwise(stops))
    evenest = bisect_left(
        range(longest + 1), -fewest, lo=min(narrowest, longest), key=lambda width: -len(_fill(stops, width))
    )
    return _fill(stops, min(evenest, longest))


def _fill(stops: Sequence[int], longest: int) -> tuple[tuple[int, int], ...]:
    """As many stretches into a line as fit, and at least one."""
    lines: list[tuple[int, int]] = []
    start = end = stops[0]
    for stop in stops[1:]:
        if stop - start > longest and end > start:
            lines.append((start, end))
            start = end
        end = stop
    lines.append((start, end))
    return tuple(lines)


def _stops(bars: Sequence[Bar], onset: int, duration: int, longest: int) -> list[int]:
    """Places where a line may be broken, the start and the end of the part included."""
    stops = {0, duration}
    for bar in bars:
        start, end = max(0, bar.onset - onset), min(duration, bar.end - onset)
        stops.add(start)
        if end - start > longest:
            beat, unit = bar.metre.beat_ticks, bar.metre.unit_ticks
            step = next((size for size in (beat, unit) if size <= longest), longest)
            # Counted from the bar's own first beat, which may lie before the part; a pick-up ends on a beat.
            first = bar.onset - onset if bar.number else bar.end - onset - (bar.duration // step + 1) * step
            stops.update(tick for tick in range(first, end, step) if start < tick < end)
    return sorted(stops)

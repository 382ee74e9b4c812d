"""Measures, and the note values that a voice's notes and rests are written with inside one."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from itertools import pairwise

from msgspec import Struct

from core.formats.note_values import NoteValue, note_values
from core.formats.staff_voices import Struck
from core.song.metre import Bar
from core.song.time import TICKS_PER_QUARTER


class Measure(Struct, frozen=True):
    """A written measure: a bar, or a piece of one where a repeat divides it."""

    onset: int
    end: int
    number: str
    is_implicit: bool
    is_whole: bool


class Segment(Struct, frozen=True):
    """A stretch of a voice inside one measure: one note value of a note, a chord or a rest."""

    onset: int
    value: NoteValue
    struck: Struck | None
    tied_from: bool = False
    tied_on: bool = False


def divided(bar: Bar, cuts: Iterable[int]) -> list[Measure]:
    """A bar as measures: one, or several where repeat signs stand inside it."""
    edges = [bar.onset, *sorted(cut for cut in cuts if bar.onset < cut < bar.end), bar.end]
    is_whole = bar.duration == bar.metre.bar_ticks and len(edges) == 2
    measures = [Measure(bar.onset, edges[1], str(bar.number), is_implicit=not bar.number, is_whole=is_whole)]
    for piece in range(1, len(edges) - 1):
        number = f"X{bar.number}" if piece == 1 else f"X{bar.number}.{piece}"
        measures.append(Measure(edges[piece], edges[piece + 1], number, is_implicit=True, is_whole=False))
    return measures


def by_measure(voice: Sequence[Struck], measures: Sequence[Measure]) -> list[list[Struck]]:
    """For each measure what of a voice sounds in it; a grace note stands where it begins."""
    inside: list[list[Struck]] = [[] for _ in measures]
    starts = [measure.onset for measure in measures]
    for struck in voice:
        index = max(0, bisect_right(starts, struck.onset) - 1)
        inside[index].append(struck)
        while index + 1 < len(measures) and struck.end > starts[index + 1]:
            index += 1
            inside[index].append(struck)
    return inside


def segments_of(measure: Measure, inside: list[Struck], cuts: list[int]) -> list[Segment]:
    """A voice's notes and rests in a measure, cut at its bar lines and where the key changes."""
    segments: list[Segment] = []
    now = measure.onset
    for struck in inside:
        start, end = max(struck.onset, measure.onset), min(struck.end, measure.end)
        if start > now:
            segments.extend(_pieces(now, start, None, cuts, measure))
        if struck.onset == struck.end:
            segments.append(Segment(start, NoteValue(0, "eighth"), struck))
        else:
            segments.extend(_pieces(start, end, struck, cuts, measure))
        now = max(now, end)
    if now < measure.end:
        segments.extend(_pieces(now, measure.end, None, cuts, measure))
    return segments


def _pieces(start: int, end: int, struck: Struck | None, cuts: list[int], measure: Measure) -> list[Segment]:
    is_whole_rest = struck is None and measure.is_whole and end - start == measure.end - measure.onset and not cuts
    if is_whole_rest:
        return [Segment(start, NoteValue(end - start), None)]
    edges = [start, *(cut for cut in cuts if start < cut < end), end]
    pieces: list[Segment] = []
    for here, there in pairwise(edges):
        now = here
        for value in note_values(there - here):
            tied_from = struck is not None and now > struck.onset
            tied_on = struck is not None and now + value.ticks < struck.end
            pieces.append(Segment(now, value, struck, tied_from, tied_on))
            now += value.ticks
    return pieces


def brackets_of(segments: list[Segment]) -> list[tuple[bool, bool]]:
    """Where tuplet brackets start and stop: at the first note of a tuplet and once it fills whole quarter notes."""
    brackets = [(False, False)] * len(segments)
    filled, ratio, last = 0, (1, 1), -1
    for index, segment in enumerate(segments):
        if not segment.value.ticks:
            continue
        if segment.value.tuplet != ratio:
            if ratio != (1, 1) and filled:
                brackets[last] = (brackets[last][0], True)
            filled, ratio = 0, segment.value.tuplet
        if ratio == (1, 1):
            continue
        starts = not filled
        filled = (filled + segment.value.ticks) % TICKS_PER_QUARTER
        brackets[index] = (starts, not filled)
        last = index
    if ratio != (1, 1) and filled:
        brackets[last] = (brackets[last][0], True)
    return brackets

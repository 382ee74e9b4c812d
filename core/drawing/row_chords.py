"""The left hand of a row: square bars with the chord's name and tones, and pins where chords land.

A chord's text never leaves its bar: first its tones grow smaller, then they stand below the bar, then they are left
out (what to say names them); a name too long for its bar stands below it, on a second line below where the
neighbour's does too. Nothing is cut off.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from core.drawing.metrics import FontMetrics
from core.drawing.row_lines import SheetLine
from core.drawing.shapes import Circle, Line, Rectangle, Role, Shape, Subject, Text
from core.drawing.sheet_style import SheetStyle
from core.session.suggested_reasons import suggestion_reason
from core.song.note import Hand
from core.song.part import Part
from core.song.wording import say
from core.theory.chord_tones import chord_tones

BAR_HEIGHT: Final = 24.0
BAR_GAP: Final = 4.0
"""Pixels between a chord's bar and the next."""
BAR_INSET: Final = 7.0
"""Pixels from a bar's edge to its text."""
NARROW_INSET: Final = 4.0
"""The same in a bar that shows tones alone."""
NAME_TEXT: Final = 14.0
SMALLEST_NAME_TEXT: Final = 10.0
TONES_TEXT: Final = 13.0
SMALLEST_TONES_TEXT: Final = 11.0
NAME_TO_TONES: Final = 12.0
BELOW_TEXT: Final = 11.0
SMALLEST_BELOW_TEXT: Final = 9.0
STEM_TO_TEXT: Final = 5.0
LEVEL_HEIGHT: Final = 15.0
"""Pixels of a line of text below the bars."""
LEVELS_FOR_LEFT_HAND: Final = 3
"""So many lines below for a written left hand whose bars are too short for its notes' names."""
LEVELS_FOR_TONES: Final = 1
"""Tones go below a bar only while the lines there are few."""

SUGGESTED_DASH: Final = 5.5
"""Pixels of the dashes around a chord that was suggested; longer than those around silence, which has no ground."""
SILENT_DASH: Final = 3.0

PIN_HEIGHT: Final = 20.0
"""Pixels of the room for pins above the bars."""
PIN_RADIUS: Final = 4.4
PIN_STEM: Final = 14.0


class ChordSpan(Struct, frozen=True):
    """What the left hand plays for a while.

    Attributes:
        start: ticks from the part's start.
        end: ticks.
        name: the chord's name as shown; empty where a written left hand has no chord symbols.
        tones: names of its tones.
        index: index in ``part.chords``, or None for a written left hand.
        notes: of a written left hand, the indices of what is struck in ``part.notes``, the lowest first.
        continued: whether it sounds on from the part before.
        silent: whether it says that no chord sounds.
        suggested: why it was suggested; empty where the source or the teacher has stated it.
    """

    start: int
    end: int
    name: str
    tones: tuple[str, ...]
    index: int | None
    continued: bool = False
    silent: bool = False
    notes: tuple[int, ...] = ()
    suggested: str = ""


class Below(Struct, frozen=True):
    """Text below a bar, hanging on a stem from its left end, on a level counted from 0."""

    x: float
    end: float
    level: int
    text: str
    size: float
    bold: bool
    stem_x: float


class Bar(Struct, frozen=True):
    """One bar of the left hand in one line of the row, with its text placed.

    Attributes:
        span: what is played.
        left: pixel of the left end.
        right: pixel of the right end.
        opens: whether the chord starts here, rather than sounding on from before.
        closes: whether the chord ends here, rather than going on in the next line.
        name_size: pixels of the name inside the bar, 0 where it is not inside.
        tones_size: pixels of the tones inside the bar, 0 where they are not inside.
        tones_x: pixel at which the tones begin.
        below: text below the bar, or None.
    """

    span: ChordSpan
    left: float
    right: float
    opens: bool
    closes: bool
    name_size: float = 0.0
    tones_size: float = 0.0
    tones_x: float = 0.0
    below: Below | None = None


def chord_spans(part: Part, style: SheetStyle) -> tuple[ChordSpan, ...]:
    """What the left hand plays: the part's chords, or its written notes gathered by onset where it has no chords."""
    if part.chords:
        return tuple(
            ChordSpan(
                chord.onset,
                chord.end,
                style.names.chord_shown(chord.symbol),
                tuple(style.names.shown(tone) for tone in chord_tones(chord.symbol)),
                index,
                chord.continued,
                chord.symbol.is_silent,
                suggested=suggestion_reason(part, index, style.names),
            )
            for index, chord in enumerate(part.chords)
        )
    left = [(index, note) for index, note in enumerate(part.notes) if note.hand is Hand.LEFT and not note.is_grace]
    onsets = sorted({note.onset for _, note in left})
    spans = []
    for onset, after in pairwise([*onsets, part.duration]):
        struck = sorted((entry for entry in left if entry[1].onset == onset), key=lambda entry: entry[1].pitch.midi)
        end = min(after, max(note.end for _, note in struck))
        names = dict.fromkeys(style.names.shown(note.pitch.name) for _, note in struck)
        spans.append(ChordSpan(onset, end, "", tuple(names), None, notes=tuple(index for index, _ in struck)))
    return tuple(spans)


def place_bars(
    spans: Sequence[ChordSpan], line: SheetLine, right_edge: float, pixels_per_tick: float, metrics: FontMetrics
) -> tuple[Bar, ...]:
    """The bars of one line with their text where it fits.

    Text below the bars ends at `right_edge` where smaller letters can bring that about. Where a name has to stand
    below, no tones do.
    """
    bars = []
    for span in spans:
        if span.end <= line.start or span.start >= line.end:
            continue
        opens, closes = span.start >= line.start and not span.continued, span.end <= line.end
        left = line.left + (max(span.start, line.start) - line.start) * pixels_per_tick
        end = line.left + (min(span.end, line.end) - line.start) * pixels_per_tick
        right = max(end - (BAR_GAP if closes else 0.0), left + 3.0)
        bars.append(_with_text_inside(Bar(span, left, right, opens, closes), metrics))
    names_below = any(bar.opens and bar.span.name and not bar.name_size for bar in bars)
    below = _RoomBelow(right_edge, metrics)
    placed = []
    for bar in reversed(bars):
        tones = " ".join(bar.span.tones)
        if not bar.opens:
            placed.append(bar)
        elif not bar.span.name and not bar.tones_size:
            placed.append(replace(bar, below=below.take(tones, False, bar.left, LEVELS_FOR_LEFT_HAND)))
        elif bar.span.name and not bar.name_size:
            placed.append(replace(bar, below=below.take(bar.span.name, True, bar.left)))
        elif tones and not bar.tones_size and not names_below:
            placed.append(replace(bar, below=below.take(tones, False, bar.left, LEVELS_FOR_TONES)))
        else:
            placed.append(bar)
    return tuple(reversed(placed))


def _with_text_inside(bar: Bar, metrics: FontMetrics) -> Bar:
    """The bar with as much of its text inside it as fits: the name first, then the tones."""
    span = bar.span
    inset = BAR_INSET if span.name else NARROW_INSET
    start, room = bar.left + inset, bar.right - bar.left - 2 * inset
    name_size = metrics.fitting_size(span.name, room, NAME_TEXT, SMALLEST_NAME_TEXT, bar.opens)
    if name_size is None:
        return bar
    taken = metrics.width(span.name, name_size, bar.opens) + NAME_TO_TONES if span.name else 0.0
    tones = " ".join(span.tones)
    tones_size = metrics.fitting_size(tones, room - taken, TONES_TEXT, SMALLEST_TONES_TEXT) if tones else None
    return replace(bar, name_size=name_size if span.name else 0.0, tones_x=start + taken, tones_size=tones_size or 0.0)


class _RoomBelow:
    """The room below a line's bars, given out from right to left.

    A text hangs on a stem from its bar's left end. Given out from the right, a text that reaches under its
    neighbour goes below the neighbour's, and its stem passes to the left of it: no stem crosses a letter.
    """

    def __init__(self, right_edge: float, metrics: FontMetrics) -> None:
        self._right_edge = right_edge
        self._metrics = metrics
        self._taken_from: list[float] = []

    def take(self, text: str, bold: bool, left: float, most_levels: int | None = None) -> Below | None:
        """A place for a text below a bar that begins at `left`; None where there may be no more levels."""
        start = left + STEM_TO_TEXT
        room = self._right_edge - start
        size = self._metrics.fitting_size(text, room, BELOW_TEXT, SMALLEST_BELOW_TEXT, bold) or SMALLEST_BELOW_TEXT
        end = start + self._metrics.width(text, size, bold)
        fits = (level for level, taken in enumerate(self._taken_from) if end + STEM_TO_TEXT <= taken)
        level = next(fits, len(self._taken_from))
        if most_levels is not None and level >= most_levels:
            return None
        if level == len(self._taken_from):
            self._taken_from.append(left)
        self._taken_from[: level + 1] = [left] * (level + 1)
        return Below(start, end, level, text, size, bold, left + 0.75)


def levels_below(bars: Sequence[Bar]) -> int:
    """How many lines of text stand below the bars of a line."""
    return max((bar.below.level + 1 for bar in bars if bar.below is not None), default=0)


def draw_bars(
    bars: Sequence[Bar], line: SheetLine, number: int, selected: int | None, selected_notes: frozenset[int]
) -> list[Shape]:
    """The bars and their text; a bar that sounds on from the line or part before is open at its left.

    A chord that was only suggested has a dashed frame until its name is confirmed. A bar of a written left hand
    stands for its lowest note.
    """
    shapes: list[Shape] = []
    foot = line.chords_top + BAR_HEIGHT
    for bar in bars:
        if bar.below is not None:
            stem = bar.below.stem_x
            shapes.append(Line(stem, foot, stem, foot + bar.below.level * LEVEL_HEIGHT + 12.0, Role.LEFT, 1.5))
    for bar in bars:
        span, x, baseline = bar.span, bar.left + BAR_INSET, line.chords_top + BAR_HEIGHT / 2 + 4.6
        is_chord = span.index is not None
        subject = Subject("chord", number, span.index) if span.index is not None else _note_subject(number, span)
        chosen = span.index == selected if is_chord else not selected_notes.isdisjoint(span.notes)
        shapes.extend(_frame(bar, line.chords_top, subject, chosen))
        quiet = span.silent or not bar.opens
        if bar.name_size:
            role = Role.QUIET if quiet else Role.INK
            shapes.append(Text(x, baseline, span.name, bar.name_size, role, bar.opens, subject=subject))
        if bar.tones_size:
            role = Role.QUIET if quiet else Role.INK
            shapes.append(Text(bar.tones_x, baseline, " ".join(span.tones), bar.tones_size, role, subject=subject))
        if bar.below is not None:
            low, role = foot + bar.below.level * LEVEL_HEIGHT + 12.0, Role.INK if bar.below.bold else Role.QUIET
            shapes.append(Text(bar.below.x, low, bar.below.text, bar.below.size, role, bar.below.bold, subject=subject))
    return shapes


def _note_subject(number: int, span: ChordSpan) -> Subject | None:
    return Subject("note", number, span.notes[0]) if span.notes else None


def _frame(bar: Bar, top: float, subject: Subject | None, selected: bool) -> list[Shape]:
    """A bar's square frame, without its ends where it comes from or goes on elsewhere."""
    left, right, foot = bar.left + 0.75, bar.right, top + BAR_HEIGHT
    role, width = (Role.SELECTED, 2.5) if selected else (Role.LEFT, 1.5)
    dash = SILENT_DASH if bar.span.silent else SUGGESTED_DASH if bar.span.suggested else 0.0
    fill = None if bar.span.silent else Role.LEFT_FILL
    hint = say("Suggested: {chord}", chord=bar.span.suggested) if bar.span.suggested else ""
    shapes: list[Shape] = [Rectangle(left, top, right - left, BAR_HEIGHT, fill, None, subject=subject, hint=hint)]
    half = width / 2
    sides = [(left - half, top, right + half, top), (left - half, foot, right + half, foot)]
    if bar.opens:
        sides.append((left, top, left, foot))
    if bar.closes:
        sides.append((right, top, right, foot))
    shapes.extend(Line(*side, role, width, dash, subject) for side in sides)
    return shapes


def draw_pin(x: float, chords_top: float, with_note: bool, subject: Subject) -> list[Shape]:
    """A pin standing on a chord's bar: filled where the chord lands with a note, open where it lands alone."""
    top = chords_top - PIN_STEM
    fill = Role.INK if with_note else Role.CARD
    return [
        Line(x, top, x, chords_top, Role.INK, 1.8, subject=subject),
        Circle(x, top, PIN_RADIUS, fill, Role.INK, 1.8, subject),
    ]

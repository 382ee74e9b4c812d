"""Marks on the beads and bars of a row: how a note was played, which one is wanted, whose hand is doubtful.

A mark has a shape of its own and, where there is room, a word or a letter beside it; its colour says nothing that
they do not. It stands below its bead, or above it where a low bead leaves no room, in the bead's own column: it
never covers a letter, a finger or another bead. A mark of the left hand stands on its bar, beside the pin.

Marks are laid out one bead at a time and over the row's picture, so that one more costs its own bead's and not the
row's.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, Literal

from msgspec import Struct

from core.drawing.lesson_sheet import RowLayout
from core.drawing.metrics import FontMetrics
from core.drawing.row_beads import FINGER_TEXT, RING, Bead, stands_beside
from core.drawing.row_chords import PIN_RADIUS, PIN_STEM, Bar
from core.drawing.row_lines import SheetLine
from core.drawing.shapes import Anchor, Circle, Line, Polygon, Rectangle, Role, Shape, Subject, Text
from core.drawing.sheet_style import BEAD_RADIUS, PADDING
from core.song.note import Hand
from core.song.part import Part
from core.song.wording import say_in, to_say_in

Sign = Literal["right", "early", "late", "wrong", "missed", "apart", "wanted", "doubtful"]

LINE: Final = 13.0
"""Pixels of height of one mark."""
HALF: Final = 5.0
"""Half the width and height of a sign in pixels."""
OVER_RING: Final = RING + 1.5
"""Pixels between a bead and its marks: room for the ring of a selected bead."""
ORNAMENT_ROOM: Final = 12.0
WORD_TEXT: Final = 11.0
SMALLEST_WORD_TEXT: Final = 9.0
SIGN_TO_WORD: Final = 2.5
BETWEEN: Final = 3.0
"""Pixels between two marks of one bead side by side."""
TO_NEXT: Final = 2.5
"""Pixels between a mark and the next bead."""
STROKE: Final = 1.9
WORDS: Final[dict[Sign, str]] = {
    "early": to_say_in("beside a note that was played", "early"),
    "late": to_say_in("beside a note that was played", "late"),
    "missed": to_say_in("beside a note that was played", "missed"),
    "apart": to_say_in("beside a note that was played", "apart"),
}
"""What stands beside a sign where there is room, once said; its first letter where there is little."""
ROLES: Final[dict[Sign, Role]] = {"wrong": Role.WARNING, "missed": Role.WARNING, "doubtful": Role.WARNING}
"""Colours of signs; ink for the others."""


class Mark(Struct, frozen=True):
    """A mark.

    Attributes:
        sign: its shape.
        word: what stands beside it where there is room, such as the name of a wrong key; `WORDS` where it is empty.
    """

    sign: Sign
    word: str = ""

    @property
    def words(self) -> tuple[str, ...]:
        """What may stand beside the sign, the longest first; nothing last."""
        if not self.word and self.sign not in WORDS:
            return ("",)
        word = self.word or say_in("beside a note that was played", WORDS[self.sign])
        return (word, "") if self.word else (word, word[0], "")


class _Sized(Struct, frozen=True):
    """A mark with what stands beside it and its width in pixels."""

    mark: Mark
    word: str
    size: float
    width: float


def bearer_of(part: Part, index: int, number: int) -> Subject | None:
    """What is drawn for a written note: its bead, the bar of its left hand, or the bead that sounds over it."""
    note = part.notes[index]
    if note.melody or (note.hand is Hand.LEFT and not part.chords):
        return Subject("note", number, index)
    return bearer_at(part, note.onset, note.hand, number)


def bearer_at(part: Part, tick: int, hand: Hand, number: int) -> Subject | None:
    """What is drawn for something that a hand plays at a moment of a part and that is not written; None for nothing."""
    if hand is Hand.LEFT:
        for index, chord in enumerate(part.chords):
            if chord.onset <= tick < chord.end:
                return Subject("chord", number, index)
    begun = [
        (note.onset, index)
        for index, note in enumerate(part.notes)
        if note.onset <= tick and (note.melody if hand is Hand.RIGHT else note.hand is hand and not part.chords)
    ]
    return Subject("note", number, max(begun)[1]) if begun else None


def draw_marks(layout: RowLayout, subject: Subject, marks: Sequence[Mark], metrics: FontMetrics) -> tuple[Shape, ...]:
    """The marks of a bead or a bar; nothing where it is not drawn.

    Args:
        layout: the row.
        subject: a note or a chord of it.
        marks: what to say, the weightiest first.
        metrics: widths of letters.
    """
    if not marks:
        return ()
    bead = next((bead for bead in layout.beads if bead.index == subject.index), None) if _is_note(subject) else None
    if bead is not None:
        return _at_bead(layout, bead, subject, marks, metrics)
    for line, bars in zip(layout.lines, layout.bars, strict=True):
        for bar in bars:
            stands = subject.index in bar.span.notes if _is_note(subject) else subject.index == bar.span.index
            if stands:
                return _at_bar(layout, line, bar, subject, marks, metrics)
    return ()


def _is_note(subject: Subject) -> bool:
    return subject.kind == "note"


def _at_bead(
    layout: RowLayout, bead: Bead, subject: Subject, marks: Sequence[Mark], metrics: FontMetrics
) -> tuple[Shape, ...]:
    line = layout.lines[bead.line]
    left, right = bead.x - bead.half_width, _free_until(layout, bead)
    rows = _in_rows(marks, right - left, metrics)
    shapes: list[Shape] = []
    for one, (top, is_above) in zip(rows, _tops(line, bead, len(rows)), strict=True):
        width = sum(sized.width for sized in one) + BETWEEN * (len(one) - 1)
        start = min(max(left, bead.x - HALF), max(left, right - width))
        shapes.extend(_row_of_marks(one, start, top + LINE / 2, subject, metrics, up=is_above))
    return tuple(shapes)


def _free_until(layout: RowLayout, bead: Bead) -> float:
    """The pixel up to which a bead's column is its own: where the next bead begins."""
    lefts = [
        other.x - other.half_width - TO_NEXT
        for other in layout.beads
        if other.line == bead.line and other.x - other.half_width > bead.x
    ]
    line = layout.lines[bead.line]
    end = line.left + (line.end - line.start) * layout.pixels_per_tick + PADDING / 2
    return max(min(lefts, default=end), bead.x + bead.half_width)


def _tops(line: SheetLine, bead: Bead, count: int) -> list[tuple[float, bool]]:
    """Where marks begin and whether that is above the bead: below it, as far as they do not come among the pins."""
    below = bead.y + bead.half_height + OVER_RING
    lowest = line.notes_bottom + BEAD_RADIUS + 0.5
    room = max(0, min(count, int((lowest - below) / LINE)))
    over = OVER_RING if stands_beside(bead, RING + 1.0) else OVER_RING + FINGER_TEXT
    over += ORNAMENT_ROOM if bead.note.ornament else 0.0
    above = bead.y - bead.half_height - over
    found = [(below + place * LINE, False) for place in range(room)]
    found += [(above - place * LINE, True) for place in range(1, count - room + 1)]
    return found


def _at_bar(
    layout: RowLayout, line: SheetLine, bar: Bar, subject: Subject, marks: Sequence[Mark], metrics: FontMetrics
) -> tuple[Shape, ...]:
    """Marks in the room of the pins, to the right of the bar's own pin."""
    beside_pin = bar.left + 2 * layout.lead + PIN_RADIUS
    least = 2 * HALF + 2.0
    left = beside_pin if bar.right - beside_pin >= least else max(bar.left, bar.right - least)
    shown = _in_rows(marks[:1], bar.right - left, metrics)[0]
    middle = line.chords_top - PIN_STEM / 2 - 1.0
    return tuple(_row_of_marks(shown, left, middle, subject, metrics, up=False))


def _in_rows(marks: Sequence[Mark], room: float, metrics: FontMetrics) -> list[list[_Sized]]:
    """Marks side by side where there is room, else below one another."""
    rows: list[list[_Sized]] = []
    used = 0.0
    for mark in marks:
        whole = _sized(mark, room, metrics)
        if rows and used + BETWEEN + whole.width <= room and whole.word == mark.words[0]:
            rows[-1].append(whole)
            used += BETWEEN + whole.width
        else:
            rows.append([whole])
            used = whole.width
    return rows


def _sized(mark: Mark, room: float, metrics: FontMetrics) -> _Sized:
    """A mark with the longest of its words that fits."""
    for word in mark.words:
        if not word:
            break
        size = metrics.fitting_size(word, room - 2 * HALF - SIGN_TO_WORD, WORD_TEXT, SMALLEST_WORD_TEXT, bold=True)
        if size is not None:
            return _Sized(mark, word, size, 2 * HALF + SIGN_TO_WORD + metrics.width(word, size, bold=True))
    return _Sized(mark, "", 0.0, 2 * HALF)


def _row_of_marks(
    row: Sequence[_Sized], left: float, middle: float, subject: Subject, metrics: FontMetrics, *, up: bool
) -> list[Shape]:
    """Marks on a ground of their own, which hides the wires behind them."""
    width = sum(one.width for one in row) + BETWEEN * (len(row) - 1)
    shapes: list[Shape] = [Rectangle(left - 1, middle - LINE / 2, width + 2, LINE, Role.CARD, None, 0.0, 3.0, subject)]
    for one in row:
        role = ROLES.get(one.mark.sign, Role.INK)
        shapes.extend(_sign(one.mark.sign, left + HALF, middle, role, subject, metrics, up=up))
        if one.word:
            baseline = middle + metrics.capital_height(one.size) / 2
            start = left + 2 * HALF + SIGN_TO_WORD
            shapes.append(Text(start, baseline, one.word, one.size, role, True, subject=subject))
        left += one.width + BETWEEN
    return shapes


def _sign(
    sign: Sign, x: float, y: float, role: Role, subject: Subject, metrics: FontMetrics, *, up: bool
) -> list[Shape]:
    """A sign around a point; `up` where it stands above what it belongs to."""

    def stroke(x1: float, y1: float, x2: float, y2: float, width: float = STROKE) -> Line:
        return Line(x + x1, y + y1, x + x2, y + y2, role, width, subject=subject)

    def polygon(*points: tuple[float, float]) -> Polygon:
        return Polygon(tuple((x + right, y + down) for right, down in points), role, subject)

    match sign:
        case "right":
            return [stroke(-4.2, 0.2, -1.2, 3.4), stroke(-1.7, 3.4, 4.4, -4.0)]
        case "wrong":
            return [stroke(-3.7, -3.7, 3.7, 3.7), stroke(-3.7, 3.7, 3.7, -3.7)]
        case "early":  # before its moment, which is the upright line
            return [polygon((-4.8, 0.0), (2.4, -4.4), (2.4, 4.4)), stroke(4.0, -4.8, 4.0, 4.8)]
        case "late":
            return [polygon((4.8, 0.0), (-2.4, -4.4), (-2.4, 4.4)), stroke(-4.0, -4.8, -4.0, 4.8)]
        case "missed":  # a bead that stayed empty
            return [Circle(x, y, 3.9, None, role, STROKE, subject)]
        case "apart":  # two hands that should stand level
            return [stroke(-2.3, -5.0, -2.3, 1.6, 2.6), stroke(2.3, -1.6, 2.3, 5.0, 2.6)]
        case "wanted":
            side = 1 if up else -1
            return [polygon((0.0, side * 5.0), (-5.0, side * -3.6), (5.0, side * -3.6))]
        case "doubtful":
            size = SMALLEST_WORD_TEXT + 0.5
            diamond = polygon((0.0, -6.5), (6.5, 0.0), (0.0, 6.5), (-6.5, 0.0))
            baseline = y + metrics.capital_height(size) / 2
            return [diamond, Text(x, baseline, "?", size, Role.CARD, True, Anchor.MIDDLE, subject)]

"""A left hand that is written out under chords: small square beads on a row of its own, beneath the chords' bars.

What is struck together stands in one bead, named from the lowest note up as far as there is room; a bead too narrow for
a letter still shows the rhythm. Beads are square, as everything of the left hand is.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from msgspec import Struct

from core.arranging.left_hand import PLAIN
from core.drawing.metrics import FontMetrics
from core.drawing.row_beads import line_of
from core.drawing.row_lines import SheetLine
from core.drawing.shapes import Anchor, Line, Rectangle, Role, Shape, Subject, Text
from core.drawing.sheet_style import STRUCK_TOGETHER, SheetStyle
from core.song.note import Hand, Note
from core.song.part import Part

LANE_HEIGHT: Final = 22.0
"""Pixels of the row of beads, its distance from what is above it included."""
BEAD_HEIGHT: Final = 16.0
NAME_TEXT: Final = 11.0
SMALLEST_NAME_TEXT: Final = 8.5
PADDING: Final = 3.0
"""Pixels left and right of the names in a bead."""
GAP: Final = 2.0
"""Pixels between two beads at least."""
NARROWEST: Final = 3.0
CORNER: Final = 2.0
WIRE_WIDTH: Final = 1.6
WIRE_GAP: Final = 4.0
FRAME: Final = 2.2
"""Pixels of the edge of a selected bead."""


class LeftBead(Struct, frozen=True):
    """What the left hand strikes at one moment.

    Attributes:
        notes: indices in ``part.notes``, the lowest note first.
        onset: ticks from the part's start.
        end: tick at which the last of them ends.
        line: which line of the row it is in.
        left: pixel of its left edge.
        width: pixels.
        text: the names that it shows; empty where there is no room for one.
        size: pixels of the text.
    """

    notes: tuple[int, ...]
    onset: int
    end: int
    line: int
    left: float
    width: float
    text: str
    size: float


def has_written_left_hand(part: Part) -> bool:
    """Whether a part's left hand is written out under its chords, and played as it is written."""
    if not part.chords or part.teaching.pattern != PLAIN:
        return False
    return any(note.hand is Hand.LEFT and not note.is_grace for note in part.notes)


def left_strikes(part: Part) -> tuple[tuple[int, ...], ...]:
    """What a written left hand strikes together, as indices in ``part.notes``, the lowest note of each first."""
    struck: list[list[tuple[int, Note]]] = []
    for index, note in enumerate(part.notes):
        if note.hand is not Hand.LEFT or note.is_grace:
            continue
        if struck and note.onset - struck[-1][0][1].onset < STRUCK_TOGETHER:
            struck[-1].append((index, note))
        else:
            struck.append([(index, note)])
    return tuple(tuple(index for index, _ in sorted(each, key=lambda entry: entry[1].pitch.midi)) for each in struck)


def place_left_beads(
    part: Part, lines: Sequence[SheetLine], style: SheetStyle, metrics: FontMetrics, pixels_per_tick: float
) -> tuple[LeftBead, ...]:
    """The beads of a part's written left hand, in order; none where it has none under its chords.

    Args:
        part: the part.
        lines: the lines of its row.
        style: the sheet's style.
        metrics: widths of letters.
        pixels_per_tick: width of a tick.
    """
    if not has_written_left_hand(part):
        return ()
    strikes = left_strikes(part)
    onsets = [min(part.notes[index].onset for index in struck) for struck in strikes]
    beads = []
    for struck, (onset, after) in zip(strikes, pairwise([*onsets, part.duration]), strict=True):
        number = line_of(lines, onset)
        line = lines[number]
        room = (min(after, line.end) - onset) * pixels_per_tick - GAP
        names = list(dict.fromkeys(style.names.shown(part.notes[index].pitch.name) for index in struck))
        text, size = _fitting(names, room - 2 * PADDING, metrics)
        width = max(BEAD_HEIGHT, metrics.width(text, size, bold=True) + 2 * PADDING) if text else BEAD_HEIGHT / 2
        left = line.left + (onset - line.start) * pixels_per_tick
        end = max(part.notes[index].end for index in struck)
        beads.append(LeftBead(struck, onset, end, number, left, max(NARROWEST, min(width, room)), text, size))
    return tuple(beads)


def _fitting(names: Sequence[str], room: float, metrics: FontMetrics) -> tuple[str, float]:
    """As many names as fit, from the lowest up, and the size of their letters; nothing where not even one does."""
    for count in range(len(names), 0, -1):
        text = " ".join(names[:count])
        size = metrics.fitting_size(text, room, NAME_TEXT, SMALLEST_NAME_TEXT, bold=True)
        if size is not None:
            return text, size
    return "", 0.0


def draw_left_beads(
    beads: Sequence[LeftBead],
    lines: Sequence[SheetLine],
    number: int,
    selected: frozenset[int],
    pixels_per_tick: float,
    metrics: FontMetrics,
) -> list[Shape]:
    """Wires as long as the notes, and the beads over them; a bead stands for its lowest note."""
    shapes: list[Shape] = []
    for bead in beads:
        line, subject = lines[bead.line], Subject("note", number, bead.notes[0])
        top = line.left_top
        start = bead.left + bead.width
        end = line.left + (min(bead.end, line.end) - line.start) * pixels_per_tick - WIRE_GAP
        if end > start:
            middle = top + BEAD_HEIGHT / 2
            shapes.append(Line(start, middle, end, middle, Role.LEFT, WIRE_WIDTH, subject=subject))
        chosen = not selected.isdisjoint(bead.notes)
        edge, edge_width = (Role.SELECTED, FRAME) if chosen else (Role.LEFT, 1.2)
        box = (bead.left, top, bead.width, BEAD_HEIGHT)
        shapes.append(Rectangle(*box, Role.LEFT_FILL, edge, edge_width, CORNER, subject))
    for bead in beads:
        if bead.text:
            baseline = lines[bead.line].left_top + (BEAD_HEIGHT + metrics.capital_height(bead.size)) / 2
            middle, subject = bead.left + bead.width / 2, Subject("note", number, bead.notes[0])
            shapes.append(Text(middle, baseline, bead.text, bead.size, Role.INK, True, Anchor.MIDDLE, subject))
    return shapes

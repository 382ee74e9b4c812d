"""The right hand of a row: beads with names, wires as long as the notes, finger numbers beside them.

Every bead stands with its left edge at its onset, so that beads shrunk to half the room up to the next onset never
touch. A finger number stands on the wire to the bead's right where there is room, else above the bead.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Final

from msgspec import Struct

from core.drawing.metrics import FontMetrics
from core.drawing.ornament_signs import ornament_sign
from core.drawing.row_lines import SheetLine
from core.drawing.shapes import Anchor, Circle, Line, Rectangle, Role, Shape, Subject, Text
from core.drawing.sheet_style import (
    BEAD_GAP,
    BEAD_PADDING,
    BEAD_RADIUS,
    BEAD_TEXT,
    SMALLEST_BEAD_TEXT,
    SMALLEST_RADIUS,
    SheetStyle,
)
from core.song.note import Note

GRACE_RADIUS: Final = 8.0
SMALLEST_OF_ALL: Final = 5.0
"""Pixels of a long name in a grace note, or in a run so fast that no beat can be wide enough for it."""
WIRE_WIDTH: Final = 2.2
WIRE_GAP: Final = 4.0
"""Pixels between a wire's end and the next onset."""
FINGER_TEXT: Final = 11.0
FINGER_WIDTH: Final = 0.66
"""Of a digit, as a share of its size."""
GRIP: Final = 6.0
"""Half the width of the place where a wire's end is taken hold of."""
RING: Final = 3.5
"""Pixels from a selected bead to the ring around it."""


class Bead(Struct, frozen=True):
    """A note's bead: its place, its size, its letter.

    Attributes:
        index: index of the note in ``part.notes``.
        note: the note.
        line: which line of the row it begins in.
        x: pixel of its centre.
        y: pixel of its centre.
        half_width: half of its width; more than `half_height` where the name is long.
        half_height: half of its height.
        text: the name.
        text_size: pixels.
        room: pixels from its left edge to the next onset.
    """

    index: int
    note: Note
    line: int
    x: float
    y: float
    half_width: float
    half_height: float
    text: str
    text_size: float
    room: float


def place_beads(
    notes: Sequence[tuple[int, Note]],
    lines: Sequence[SheetLine],
    style: SheetStyle,
    metrics: FontMetrics,
    pixels_per_tick: float,
) -> tuple[Bead, ...]:
    """The beads of a part's melody.

    Args:
        notes: index in ``part.notes`` and note, in order of onset.
        lines: the lines of the row.
        style: the sheet's style.
        metrics: widths of letters.
        pixels_per_tick: width of a tick.
    """
    onsets = sorted({note.onset for _, note in notes if not note.is_grace})
    after = dict(pairwise(onsets))
    before = {later: earlier for earlier, later in after.items()}
    beads: list[Bead] = []
    right_edges: dict[int, float] = {}  # where the next bead may begin, by line
    graces: list[tuple[int, Note]] = []
    for index, note in notes:
        if note.is_grace:
            graces.append((index, note))
            continue
        number = line_of(lines, note.onset)
        line = lines[number]
        gap = (after.get(note.onset, line.end) - note.onset) * pixels_per_tick
        gap_before = (note.onset - before[note.onset]) * pixels_per_tick if note.onset in before else gap
        half_width, half_height, size = bead_size(style.names.shown(note.pitch.name), gap, gap_before, metrics)
        left = line.left + (note.onset - line.start) * pixels_per_tick
        left = max(left, right_edges.get(number, left))  # notes struck together, or almost, stand side by side
        right_edges[number] = left + 2 * half_width + BEAD_GAP
        y = y_of_step(line, note.pitch.staff_step, style)
        name = style.names.shown(note.pitch.name)
        beads.append(Bead(index, note, number, left + half_width, y, half_width, half_height, name, size, gap))
        beads.extend(_place_graces(graces, beads[-1], line, style, metrics))
        graces.clear()
    if graces:
        number = line_of(lines, graces[0][1].onset)
        edge = lines[number].left + (graces[-1][1].onset - lines[number].start) * pixels_per_tick
        anchor = Bead(-1, graces[-1][1], number, edge, 0.0, 0.0, 0.0, "", 0.0, 0.0)
        beads.extend(_place_graces(graces, anchor, lines[number], style, metrics))
    return tuple(sorted(beads, key=lambda bead: bead.index))


def _place_graces(
    graces: Sequence[tuple[int, Note]], main: Bead, line: SheetLine, style: SheetStyle, metrics: FontMetrics
) -> list[Bead]:
    """Grace notes as small beads, closely before the note they lead to."""
    placed: list[Bead] = []
    right = main.x - main.half_width - 1
    for index, note in reversed(graces):
        name = style.names.shown(note.pitch.name)
        size = metrics.fitting_size(name, 2 * GRACE_RADIUS - 3, 10.0, SMALLEST_OF_ALL, bold=True) or SMALLEST_OF_ALL
        y = y_of_step(line, note.pitch.staff_step, style)
        placed.append(
            Bead(index, note, main.line, right - GRACE_RADIUS, y, GRACE_RADIUS, GRACE_RADIUS, name, size, 0.0)
        )
        right -= 2 * GRACE_RADIUS + 1
    return placed


def bead_size(name: str, gap: float, gap_before: float, metrics: FontMetrics) -> tuple[float, float, float]:
    """Half width, half height and letter size of a bead that has `gap` pixels up to the next onset.

    The gap before it counts too, so that the last bead of a dense run is as small as the others.
    """
    room = gap - BEAD_GAP
    radius = max(SMALLEST_RADIUS, min(BEAD_RADIUS, room / 2, (gap_before - BEAD_GAP) / 2))
    padding = BEAD_PADDING * radius / BEAD_RADIUS
    largest = max(BEAD_TEXT * radius / BEAD_RADIUS, SMALLEST_BEAD_TEXT + 1.0)
    in_circle = metrics.fitting_size(name, 2 * (radius - padding), largest, largest - 1.0, bold=True)
    if in_circle is not None:
        return radius, radius, in_circle
    inside = max(room, 2 * radius) - 2 * padding
    size = metrics.fitting_size(name, inside, largest, SMALLEST_OF_ALL, bold=True) or SMALLEST_OF_ALL
    half_width = max(radius, metrics.width(name, size, bold=True) / 2 + padding)
    return min(half_width, max(radius, room / 2)), radius, size


def line_of(lines: Sequence[SheetLine], tick: int) -> int:
    """Index of the line that holds a moment; the last one for a moment at or past the end."""
    return next((index for index, line in enumerate(lines) if tick < line.end), len(lines) - 1)


def y_of_step(line: SheetLine, step: int, style: SheetStyle) -> float:
    """Pixel of a staff step in a line."""
    return line.notes_bottom - (step - style.lowest) * style.step_height


def draw_beads(
    beads: Sequence[Bead],
    lines: Sequence[SheetLine],
    number: int,
    fingers: Mapping[int, int],
    selected: frozenset[int],
    pixels_per_tick: float,
    metrics: FontMetrics,
) -> list[Shape]:
    """Wires first, then beads and fingers, so that no wire crosses a letter."""
    shapes: list[Shape] = []
    for bead in beads:
        if not bead.note.is_grace:
            shapes.extend(_wire(bead, lines, number, pixels_per_tick))
    for bead in beads:
        shapes.extend(_bead(bead, number, bead.index in selected, metrics))
        finger = bead.note.finger or fingers.get(bead.index)
        if finger is not None and not bead.note.is_grace:
            shapes.extend(_finger(bead, finger, number, bead.note.finger is not None, bead.index in selected))
        ring = RING + 1.0 if bead.index in selected else 0.0
        above = bead.y - bead.half_height - 3.0 - ring - (0.0 if stands_beside(bead, ring) else FINGER_TEXT)
        shapes.extend(ornament_sign(bead.note.ornament, bead.x, above, Subject("note", number, bead.index)))
    return shapes


def _wire(bead: Bead, lines: Sequence[SheetLine], number: int, pixels_per_tick: float) -> list[Shape]:
    subject, grip = Subject("note", number, bead.index), Subject("wire-end", number, bead.index)
    shapes: list[Shape] = []
    note, here = bead.note, bead.line
    start = bead.x + bead.half_width
    while True:
        line = lines[here]
        rest = lines[here].start if here > bead.line else note.onset
        y = bead.y - lines[bead.line].notes_bottom + line.notes_bottom
        goes_on = note.end > line.end and here + 1 < len(lines)
        past_the_part = note.end > line.end and not goes_on
        edge = line.left + (line.end - line.start) * pixels_per_tick
        end = edge + (WIRE_GAP if past_the_part else 0.0)
        if note.end <= line.end:
            end = line.left + (note.end - line.start) * pixels_per_tick - WIRE_GAP
        if end > start:
            shapes.append(Line(start, y, end, y, Role.RIGHT, WIRE_WIDTH, subject=subject))
        if not goes_on:
            left = max(start, end - GRIP) if rest == note.onset else end - GRIP
            right = max(end + GRIP, left + 4)
            shapes.append(Rectangle(left, y - GRIP - 2, right - left, 2 * (GRIP + 2), subject=grip))
            return shapes
        here += 1
        start = lines[here].left


def _bead(bead: Bead, number: int, selected: bool, metrics: FontMetrics) -> list[Shape]:
    subject = Subject("note", number, bead.index)
    edge_width = 1.8 if bead.half_height > 10 else 1.3
    shapes: list[Shape] = []
    left, top = bead.x - bead.half_width, bead.y - bead.half_height
    width, height = 2 * bead.half_width, 2 * bead.half_height
    if bead.half_width == bead.half_height:
        if selected:
            shapes.append(Circle(bead.x, bead.y, bead.half_width + RING, None, Role.SELECTED, 2.2, subject))
        shapes.append(Circle(bead.x, bead.y, bead.half_width, Role.RIGHT_FILL, Role.RIGHT, edge_width, subject))
    else:
        if selected:
            ring = (left - RING, top - RING, width + 2 * RING, height + 2 * RING)
            shapes.append(Rectangle(*ring, None, Role.SELECTED, 2.2, bead.half_height + RING, subject))
        shapes.append(
            Rectangle(left, top, width, height, Role.RIGHT_FILL, Role.RIGHT, edge_width, bead.half_height, subject)
        )
    baseline = bead.y + metrics.capital_height(bead.text_size) / 2
    shapes.append(Text(bead.x, baseline, bead.text, bead.text_size, Role.INK, True, Anchor.MIDDLE, subject))
    return shapes


def stands_beside(bead: Bead, ring: float) -> bool:
    """Whether a finger number has room on the wire to the bead's right."""
    size = FINGER_TEXT if bead.half_height > 10 else FINGER_TEXT - 1.0
    return bead.room - 2 * bead.half_width >= FINGER_WIDTH * size + 6 + ring


def _finger(bead: Bead, finger: int, number: int, own: bool, selected: bool) -> list[Shape]:
    """A finger number; the teacher's own is heavier and underlined. It keeps clear of a selected bead's ring."""
    subject = Subject("note", number, bead.index)
    role = Role.INK if own else Role.QUIET
    size = FINGER_TEXT if bead.half_height > 10 else FINGER_TEXT - 1.0
    width = FINGER_WIDTH * size
    ring = RING + 1.0 if selected else 0.0
    if stands_beside(bead, ring):
        x, baseline = bead.x + bead.half_width + 3 + ring + width / 2, bead.y - 4.0
    else:
        x, baseline = bead.x, bead.y - bead.half_height - 3.0 - ring
    shapes: list[Shape] = [Text(x, baseline, str(finger), size, role, own, Anchor.MIDDLE, subject)]
    if own:
        shapes.append(Line(x - width / 2, baseline + 1.8, x + width / 2, baseline + 1.8, role, 1.3, subject=subject))
    return shapes

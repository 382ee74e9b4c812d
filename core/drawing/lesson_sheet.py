"""The lesson sheet: one row per part, laid out as shapes.

At a row's left stand its number, bars, time to teach and play buttons; along its top a ruler of beats; then the right
hand's notes as beads with their names, higher notes higher; at the foot the left hand's chords as square bars, and on
them a pin wherever a chord lands. The row answers what lies at a place (`core.drawing.hit_testing`), which moment
and which staff step a place means, and where a moment is drawn, in every line of a wrapped row.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from msgspec import Struct, field
from msgspec.structs import replace

from core.drawing import row_beads, row_chords
from core.drawing.metrics import FontMetrics
from core.drawing.row_beads import Bead, draw_beads, line_of, place_beads
from core.drawing.row_chords import BAR_HEIGHT, LEVEL_HEIGHT, PIN_HEIGHT, ChordSpan, chord_spans, draw_bars, draw_pin
from core.drawing.row_label import BUTTON_WIDTH, bars_in_words, draw_label, label_height, play_buttons
from core.drawing.row_left_hand import (
    BEAD_HEIGHT,
    LANE_HEIGHT,
    LeftBead,
    draw_left_beads,
    has_written_left_hand,
    left_strikes,
    place_left_beads,
)
from core.drawing.row_lines import SheetLine, bars_within, break_lines
from core.drawing.shapes import Circle, Line, Picture, Rectangle, Role, Shape, Subject, Text
from core.drawing.sheet_style import BEAD_RADIUS, GUTTER, PADDING, SheetStyle, notes_left
from core.session.analysis import PartAnalysis
from core.song.metre import Bar
from core.song.part import Part
from core.song.song import Song
from core.song.wording import say, to_say
from core.teaching.landings import Landing, landings
from core.teaching.naming import LETTER_NAMES, Names

RULER_HEIGHT: Final = 18.0
OVER_NOTES: Final = 9.0
"""Pixels between the ruler and the highest bead, for a finger above it."""
LINE_GAP: Final = 16.0
CORNER: Final = 8.0
DASHED: Final = to_say("dashed: suggested")
"""Said on paper, where no hint can be asked for."""


class RowFacts(Struct, frozen=True):
    """What has been computed about a part and is shown in its row.

    Attributes:
        fingers: finger of each note, by its index in ``part.notes``.
        landings: where its chords land.
        teach_seconds: seconds to teach it, or None where they are not shown.
    """

    fingers: Mapping[int, int] = field(default_factory=dict)
    landings: tuple[Landing, ...] = ()
    teach_seconds: float | None = None

    @classmethod
    def of(cls, analysis: PartAnalysis, teach_seconds: float | None = None) -> RowFacts:
        """What a row shows of a part's analysis."""
        fingers = {index: fingered.finger for index, fingered in enumerate(analysis.fingers)}
        return cls(fingers, analysis.landings, teach_seconds)


class RowLayout(Struct, frozen=True):
    """A laid-out row.

    Attributes:
        number: the part's number.
        picture: its shapes, with their subjects.
        lines: the lines it is wrapped into, from the top.
        duration: ticks of the part.
        pixels_per_tick: width of a tick.
        lead: pixels from an onset's place to the middle of its bead.
        style: the style it was laid out in.
        beads: the right hand's beads.
        bars: the left hand's bars, line by line.
        left_beads: the beads of a left hand that is written out under its chords.
    """

    number: int
    picture: Picture
    lines: tuple[SheetLine, ...]
    duration: int
    pixels_per_tick: float
    lead: float
    style: SheetStyle
    beads: tuple[Bead, ...]
    bars: tuple[tuple[row_chords.Bar, ...], ...]
    left_beads: tuple[LeftBead, ...] = ()

    def point_of(self, tick: int) -> tuple[int, float]:
        """Index of the line in which a moment of the part is drawn, and its pixel there."""
        tick = max(0, min(tick, self.duration))
        number = line_of(self.lines, tick)
        line = self.lines[number]
        return number, line.left + (tick - line.start) * self.pixels_per_tick

    def x_of(self, tick: int) -> float:
        """Pixel of a moment of the part, in the line that holds it."""
        return self.point_of(tick)[1]

    def line_at(self, y: float) -> int:
        """Index of the line at a height; the nearest one where none is there."""
        for number, line in enumerate(self.lines):
            if y < line.bottom + LINE_GAP / 2:
                return number
        return len(self.lines) - 1

    def tick_at(self, x: float, y: float) -> int:
        """The moment of the part that a place means, 0 … its duration, to the nearest tick."""
        line = self.lines[self.line_at(y)]
        tick = line.start + round((x - line.left) / self.pixels_per_tick)
        return max(line.start, min(tick, line.end))

    def nearest(self, x: float, y: float, grid: int) -> int:
        """The nearest moment on a grid of so many ticks, counted from the part's start."""
        return min(round(self.tick_at(x, y) / grid) * grid, self.duration)

    def staff_step_at(self, y: float) -> int:
        """The staff step (`Pitch.staff_step`) at a height, also above and below the notes that are drawn."""
        line = self.lines[self.line_at(y)]
        return self.style.lowest + round((line.notes_bottom - y) / self.style.step_height)

    def y_of_step(self, step: int, line: int = 0) -> float:
        """Pixel of a staff step in a line."""
        return row_beads.y_of_step(self.lines[line], step, self.style)

    def position_line(self, tick: int) -> Line:
        """The dotted line at the playing position, through the middle of the beads that sound there."""
        number, x = self.point_of(tick)
        line = self.lines[number]
        return Line(x + self.lead, line.top, x + self.lead, line.bottom, Role.INK, 1.6, dash=2.5)

    def position_lines(self, tick: int) -> tuple[Line, ...]:
        """The same line, broken off around beads and inside the left hand's bars, so that it strikes no letter out."""
        whole = self.position_line(tick)
        number = self.point_of(tick)[0]
        line = self.lines[number]
        crossed = [
            (bead.y - bead.half_height - 1.0, bead.y + bead.half_height + 1.0)
            for bead in self.beads
            if bead.line == number and abs(bead.x - whole.x1) < bead.half_width
        ]
        if any(bar.left < whole.x1 < bar.right for bar in self.bars[number]):
            crossed.append((line.chords_top + BAR_HEIGHT * 0.2, line.chords_top + BAR_HEIGHT * 0.8))
        if any(bead.line == number and bead.left < whole.x1 < bead.left + bead.width for bead in self.left_beads):
            crossed.append((line.left_top - 1.0, line.left_top + BEAD_HEIGHT + 1.0))
        crossed.sort()
        pieces, top = [], whole.y1
        for above, below in (*crossed, (whole.y2, whole.y2)):
            if above > top:
                pieces.append(replace(whole, y1=top, y2=above))
            top = max(top, below)
        return tuple(pieces)


def lay_out_row(
    song: Song,
    number: int,
    style: SheetStyle,
    metrics: FontMetrics,
    selected_note: int | None = None,
    analysis: RowFacts | None = None,
    *,
    selected: bool = False,
    selected_chord: int | None = None,
    selected_notes: frozenset[int] = frozenset(),
    playing: Subject | None = None,
) -> RowLayout:
    """Lay out the row of a part.

    Args:
        song: the song.
        number: the part's number, from 1.
        style: the sheet's style (`core.drawing.sheet_style.sheet_style`).
        metrics: widths of letters.
        selected_note: index in ``part.notes`` of a note to ring, or None.
        analysis: what has been computed about the part; without it only landings and the teacher's own fingers show.
        selected: whether the part is the selected one.
        selected_chord: index in ``part.chords`` of a chord to frame, or None.
        selected_notes: indices in ``part.notes`` of further notes to ring.
        playing: the row's play button whose music sounds now, or None.
    """
    part = song.part(number)
    onset = song.part_onsets[number - 1]
    style = replace(style, key=song.key_at(onset))
    facts = RowFacts(landings=landings(part)) if analysis is None else analysis
    bars = bars_within(song.bars, onset, part.duration)
    pixels_per_tick = style.pixels_per_tick(song)
    left = notes_left(style.labels)
    longest = None if style.wrap_width is None else int((style.wrap_width - left - PADDING) / pixels_per_tick)
    spans = chord_spans(part, style)
    lane = LANE_HEIGHT if has_written_left_hand(part) else 0.0

    breaks = break_lines(bars, onset, part.duration, longest)
    ringed = selected_notes if selected_note is None else selected_notes | {selected_note}
    right = left + max(end - start for start, end in breaks) * pixels_per_tick
    lines: list[SheetLine] = []
    placed_bars: list[tuple[row_chords.Bar, ...]] = []
    top = 8.0
    for start, end in breaks:
        line = _line(start, end, left, top, style, bool(spans))
        placed = row_chords.place_bars(spans, line, right, pixels_per_tick, metrics)
        bottom = line.bottom + row_chords.levels_below(placed) * LEVEL_HEIGHT + lane
        lines.append(_line(start, end, left, top, style, bool(spans), bottom))
        placed_bars.append(placed)
        top = bottom + LINE_GAP
    left_beads = place_left_beads(part, lines, style, metrics, pixels_per_tick)
    melody = [(index, note) for index, note in enumerate(part.notes) if note.melody]
    beads = place_beads(melody, lines, style, metrics, pixels_per_tick)
    lead = min((bead.half_height for bead in beads if not bead.note.is_grace), default=BEAD_RADIUS)

    ends = [bar.below.end for placed in placed_bars for bar in placed if bar.below is not None]
    ends.extend(bead.x + bead.half_width for bead in beads)
    width = max(right, *ends) + PADDING if ends else right + PADDING
    height = lines[-1].bottom + PADDING
    note = say(DASHED) if not style.buttons and any(span.suggested for span in spans) else ""
    if style.labels:
        height = max(height, label_height(len(play_buttons(2)) if style.buttons else 0, note))
        width = max(width, 2 * PADDING + BUTTON_WIDTH)
    shapes: list[Shape] = [_card(width, height, number, selected)]
    if style.labels:
        shapes.extend(
            draw_label(number, bars, facts.teach_seconds, part.teaching.taught, style.buttons, playing, metrics, note)
        )
    for line, placed in zip(lines, placed_bars, strict=True):
        shapes.extend(_ruler(line, bars, onset, number, pixels_per_tick, last=line is lines[-1]))
        shapes.extend(draw_bars(placed, line, number, selected_chord, ringed))
    shapes.extend(draw_left_beads(left_beads, lines, number, ringed, pixels_per_tick, metrics))
    shapes.extend(_pins(facts.landings, beads, lines, spans, number, lead, pixels_per_tick))
    shapes.extend(draw_beads(beads, lines, number, facts.fingers, ringed, pixels_per_tick, metrics))
    picture = Picture(width, height, tuple(shapes), describe_row(part, number, bars, facts.landings, style.names))
    return RowLayout(
        number,
        picture,
        tuple(lines),
        part.duration,
        pixels_per_tick,
        lead,
        style,
        beads,
        tuple(placed_bars),
        left_beads,
    )


def describe_row(
    part: Part, number: int, bars: Sequence[Bar], landed: Sequence[Landing], called: Names = LETTER_NAMES
) -> str:
    """A row in a sentence or two, for those who do not see it."""
    words = " ".join(bars_in_words(bars))
    names = ", ".join(called.said(note.pitch.name) for note in part.melody)
    if names:
        sentences = [say("Part {number}, {bars}. Right hand: {notes}.", number=number, bars=words, notes=names)]
    else:
        sentences = [say("Part {number}, {bars}. Right hand: no notes.", number=number, bars=words)]
    landing_of = {landing.chord: landing for landing in landed}
    chords = [_describe_chord(part, index, landing_of.get(index), called) for index in range(len(part.chords))]
    if chords:
        sentences.append(say("Left hand: {chords}.", chords=", ".join(chords)))
    if has_written_left_hand(part):
        strikes = [
            " ".join(called.said(part.notes[index].pitch.name) for index in struck) for struck in left_strikes(part)
        ]
        sentences.append(say("It plays {notes}.", notes=", ".join(strikes)))
    return " ".join(sentences)


def _describe_chord(part: Part, index: int, landing: Landing | None, called: Names) -> str:
    given = part.chords[index].given
    chord = called.chord_said(part.chords[index].symbol)
    if landing is None:
        return chord if given else say("{chord} (suggested)", chord=chord)
    if landing.note is None:
        return say("{chord} alone", chord=chord) if given else say("{chord} (suggested) alone", chord=chord)
    note = called.said(part.notes[landing.note].pitch.name)
    if given:
        return say("{chord} with {note}", chord=chord, note=note)
    return say("{chord} (suggested) with {note}", chord=chord, note=note)


def _line(
    start: int, end: int, left: float, top: float, style: SheetStyle, chords: bool, bottom: float | None = None
) -> SheetLine:
    notes_top = top + RULER_HEIGHT + OVER_NOTES + BEAD_RADIUS
    notes_bottom = notes_top + (style.highest - style.lowest) * style.step_height
    foot = notes_bottom + BEAD_RADIUS
    chords_top = foot + PIN_HEIGHT if chords else foot
    natural = chords_top + BAR_HEIGHT if chords else foot
    low = natural if bottom is None else bottom
    return SheetLine(start, end, left, top, notes_top, notes_bottom, chords_top, low, low - BEAD_HEIGHT)


def _card(width: float, height: float, number: int, selected: bool) -> Shape:
    edge, edge_width = (Role.SELECTED, 2.0) if selected else (Role.CARD_EDGE, 1.0)
    inset = edge_width / 2
    return Rectangle(
        inset,
        inset,
        width - edge_width,
        height - edge_width,
        Role.CARD,
        edge,
        edge_width,
        CORNER,
        Subject("part", number),
    )


def _ruler(
    line: SheetLine, bars: Sequence[Bar], onset: int, number: int, pixels_per_tick: float, last: bool
) -> list[Shape]:
    """Bar lines as short strokes with their bar's number, beats as dots, the units of a dotted beat as smaller dots."""
    y, right = line.top + 7.0, line.left + (line.end - line.start) * pixels_per_tick
    ruler = Subject("ruler", number)
    shapes: list[Shape] = [
        Rectangle(line.left - GUTTER / 2, line.top, right - line.left + GUTTER, RULER_HEIGHT, subject=ruler)
    ]

    def place(tick: int) -> float:
        return line.left + (tick - onset - line.start) * pixels_per_tick

    for bar in bars:
        if bar.end - onset <= line.start or bar.onset - onset >= line.end:
            continue
        if line.start <= bar.onset - onset:
            x = place(bar.onset)
            shapes.append(Line(x, y - 5, x, y + 5, Role.QUIET, 1.4, subject=ruler))
            if bar.number:
                shapes.append(Text(x + 4.5, y + 1.5, str(bar.number), 10.0, Role.QUIET, subject=ruler))
        beat, unit = bar.metre.beat_ticks, bar.metre.unit_ticks
        first = bar.onset if bar.number else bar.end - -(-bar.duration // beat) * beat
        for tick in range(first, bar.end, min(beat, unit)):
            here = tick - onset
            if here < line.start or here >= line.end or (tick == bar.onset):
                continue
            on_beat = (tick - first) % beat == 0
            shapes.append(Circle(place(tick), y, 1.7 if on_beat else 0.9, Role.QUIET, subject=ruler))
    end_subject = Subject("cut", number) if last else ruler
    shapes.append(Line(right, y - 5, right, y + 5, Role.QUIET, 1.4, subject=end_subject))
    if last:
        shapes.append(Rectangle(right - 5, line.top, 5 + PADDING, line.bottom - line.top, subject=end_subject))
    return shapes


def _pins(
    found: Sequence[Landing],
    beads: Sequence[Bead],
    lines: Sequence[SheetLine],
    spans: Sequence[ChordSpan],
    number: int,
    lead: float,
    pixels_per_tick: float,
) -> list[Shape]:
    shapes: list[Shape] = []
    widths = {span.index: (span.end - span.start) * pixels_per_tick for span in spans}
    middles = {bead.index: bead.x for bead in beads}
    for landing in found:
        line = lines[line_of(lines, landing.onset)]
        x = line.left + (landing.onset - line.start) * pixels_per_tick
        x += min(lead, max(2.0, widths.get(landing.chord, 2 * lead) / 2 - 2.0))
        if landing.note is not None and widths.get(landing.chord, 0.0) > 2 * BEAD_RADIUS:
            x = middles.get(landing.note, x)
        shapes.extend(draw_pin(x, line.chords_top, landing.note is not None, Subject("landing", number, landing.chord)))
    return shapes

"""Dragging a chord by its bar, and its landing by the pin."""

from __future__ import annotations

from typing import Final

from msgspec import Struct
from PySide6.QtCore import QCoreApplication

from app.widgets.change import Change, Refusal, grid
from app.widgets.chord_places import beats_of_part, landing_moments, melody_moments, why_not_there
from app.widgets.selection import Place, chord_place
from core.drawing.lesson_sheet import RowLayout
from core.drawing.row_chords import PIN_HEIGHT, PIN_RADIUS, PIN_STEM
from core.drawing.shapes import Circle, Line, Role, Shape
from core.edits.move_chord import move_chord
from core.song.chord import Chord
from core.song.metre import Metre
from core.song.song import Song

STOP_RADIUS: Final = PIN_RADIUS - 1.2
"""Pixels of the sign of a place where a dragged landing may lie: smaller than the pin itself."""
STOP_DASH: Final = 2.0


class ChordDrag(Struct, frozen=True):
    """A chord taken by its bar: it begins earlier or later."""

    place: Place
    chord: Chord
    song: Song
    layout: RowLayout
    metre: Metre

    def change(self, right: float, down: float, *, chromatic: bool) -> Change | Refusal | None:  # noqa: ARG002 - sideways only
        """Move its beginning in steps of the grid."""
        step = grid(self.metre)
        onset = self.chord.onset + round(right / self.layout.pixels_per_tick / step) * step
        if self.chord.onset:
            onset = max(0, onset)  # one that is thrown far to the left comes to lie at the part's start
        return _chord_moved(self.song, self.place, onset, self.layout)


class LandingDrag(Struct, frozen=True):
    """A chord taken by its pin: it lands with another note, or on a beat while the right hand holds or rests.

    Attributes:
        place: the chord's place.
        chord: the chord.
        song: the song it is in.
        layout: the row.
        moments: where it may land, in ticks from the part's start.
        others: where notes, beats and chords are that it may not reach.
        melody: where it would land with a note.
    """

    place: Place
    chord: Chord
    song: Song
    layout: RowLayout
    moments: tuple[int, ...]
    others: tuple[int, ...]
    melody: frozenset[int]

    def change(self, right: float, down: float, *, chromatic: bool) -> Change | Refusal | None:  # noqa: ARG002 - a landing has no pitch
        """Land at the note or beat that is meant, the nearest one; say why not where it may not reach that."""
        wanted = self._wanted(right, down)
        onset = min((*self.moments, *self.others), key=lambda moment: abs(moment - wanted), default=self.chord.onset)
        return _chord_moved(self.song, self.place, onset, self.layout)

    def _wanted(self, right: float, down: float) -> float:
        """The moment pointed at, in ticks from the part's start; also in another line of a wrapped row."""
        layout = self.layout
        line, x = layout.point_of(self.chord.onset)
        y = layout.lines[line].chords_top - PIN_HEIGHT / 2 + down
        if layout.line_at(y) == line:
            return self.chord.onset + right / layout.pixels_per_tick
        return layout.tick_at(x + right, y)

    def stops(self, layout: RowLayout, now: int) -> tuple[Shape, ...]:
        """The other places where it may lie, drawn in a row: filled with a note, open where it would be alone.

        Args:
            layout: the row as it is drawn while the landing is dragged.
            now: where it lies in that row, in ticks from the part's start.
        """
        shapes: list[Shape] = []
        for moment in self.moments:
            if moment != now:
                line, left = layout.point_of(moment)
                foot, x = layout.lines[line].chords_top, left + layout.lead
                fill = Role.SELECTED if moment in self.melody else Role.CARD
                shapes.append(Line(x, foot - PIN_STEM, x, foot, Role.SELECTED, 1.2, STOP_DASH))
                shapes.append(Circle(x, foot - PIN_STEM, STOP_RADIUS, fill, Role.SELECTED, 1.2))
        return tuple(shapes)


def begin_chord_drag(
    place: Place, chord: Chord, song: Song, layout: RowLayout, *, by_pin: bool
) -> ChordDrag | LandingDrag:
    """The drag that begins on a chord's bar, or on its pin."""
    if not by_pin:
        return ChordDrag(place, chord, song, layout, song.metre_at(song.part_onsets[place.part - 1] + chord.onset))
    part, beats = song.parts[place.part - 1], beats_of_part(song, place.part)
    moments = landing_moments(part, place.index, beats)
    melody = melody_moments(part)
    others = {*melody, *beats, part.duration, *(other.onset for other in part.chords)}
    if not chord.onset:
        others.add(-song.metre_at(song.part_onsets[place.part - 1]).unit_ticks)
    return LandingDrag(place, chord, song, layout, moments, tuple(sorted(others.difference(moments))), melody)


def _chord_moved(song: Song, place: Place, onset: int, layout: RowLayout) -> Change | Refusal | None:
    """The change that lets a chord begin at a moment; why not where it may not."""
    if onset == song.parts[place.part - 1].chords[place.index].onset:
        return None
    reason = why_not_there(song, place, onset, layout.style.names)
    if reason:
        return Refusal(reason)
    return Change(
        lambda song: move_chord(song, place.part, place.index, onset),
        QCoreApplication.translate("Drag", "move of a chord"),
        lambda song: chord_place(song, place.part, onset),
    )

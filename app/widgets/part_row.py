"""One row of the lesson sheet as it is worked on: what the mouse does with what is drawn there."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QContextMenuEvent, QMouseEvent
from PySide6.QtWidgets import QWidget

from app.widgets.change import Change, Drag, Refusal, grid
from app.widgets.chord_drag import LandingDrag
from app.widgets.row_drag import begin_drag
from app.widgets.row_view import RowView
from app.widgets.selection import Kind, Place
from app.widgets.themes import Themes
from core.drawing.shapes import Shape
from core.song.errors import PhrasebenchError
from core.song.pitch import LETTERS, Pitch
from core.song.song import Song

CHROMATIC: Final = Qt.KeyboardModifier.ControlModifier
EXTENDING: Final = Qt.KeyboardModifier.ShiftModifier
DRAG_BEGINS: Final = 4
"""Pixels the mouse must move before a press is a drag: less than a scale step of the sheet."""


class PartRow(RowView):
    """The row of one part, as it is worked on."""

    pressed = Signal(object)
    """The place that was pressed."""
    pressed_alone = Signal(object)
    """One of several selected notes was pressed and let go again without a drag."""
    extended = Signal(object)
    """The note up to which the selection is to go."""
    banded = Signal(QRectF)
    """The rectangle, in this row's pixels, in which notes are to be selected; an empty one when it is let go."""
    previewed = Signal(object)
    """The change that letting go would make now, or None."""
    dropped = Signal(object)
    """The change to be made."""
    refused = Signal(str)
    """Why the drag cannot go there."""
    unrefused = Signal()
    """The drag has gone on to where it can."""
    note_wanted = Signal(int, int, object)
    """Part, moment and pitch at which a note is wanted."""
    chord_wanted = Signal(int, int)
    """Part and moment at which a chord is to be named."""
    menu_wanted = Signal(object, object)
    """The place, and the point on the screen, at which a menu is wanted."""

    def __init__(self, number: int, themes: Themes, parent: QWidget) -> None:
        super().__init__(number, themes, parent)
        self._pressed_at: QPointF | None = None
        self._drag: Drag | None = None
        self._change: Change | None = None
        self._refusal = ""
        self._was_among = False
        self._dragging = False
        self._banding = False
        self.setMouseTracking(True)

    def _stops(self) -> tuple[Shape, ...]:
        """Where a landing that is being dragged may lie."""
        drag, song = self._drag, self._song
        if not self._dragging or song is None or not isinstance(drag, LandingDrag):
            return ()
        return drag.stops(self.layout_of_row, song.parts[self.number - 1].chords[drag.place.index].onset)

    def _place_at(self, point: QPointF) -> tuple[Place, str]:
        """The place that pressing a point selects, and the kind of subject there."""
        subject = self.subject_at(point)
        kind = subject.kind if subject else "part"
        if subject and kind in ("note", "wire-end"):
            return Place(self.number, Kind.NOTE, subject.index), kind
        if subject and kind in ("chord", "landing"):
            return Place(self.number, Kind.CHORD, subject.index), kind
        return Place(self.number), kind

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Select what was pressed, and be ready for a drag."""
        if event.button() is not Qt.MouseButton.LeftButton or self._song is None:
            event.ignore()
            return
        place, kind = self._place_at(event.position())
        extends = bool(event.modifiers() & EXTENDING)
        self._pressed_at = event.globalPosition()
        self._banding = kind in ("part", "ruler")
        if extends and place.kind is Kind.NOTE:
            self.extended.emit(place)
            self._pressed_at = None
            return
        self._was_among = place in self._several
        self.pressed.emit(place)
        self._drag = begin_drag(kind, place, self._song, self.layout_of_row, self._several)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Show what letting go would make of it; without a button, show by the pointer what can be taken hold of."""
        if self._pressed_at is None:
            self._show_pointer(event.position())
            return
        moved = event.globalPosition() - self._pressed_at
        if not self._dragging and moved.manhattanLength() < DRAG_BEGINS:
            return
        if self._drag is None and not self._banding:
            return
        if not self._dragging:
            self._dragging = True
            self.update()
        if self._drag is None:
            start = self.mapFromGlobal(self._pressed_at)
            self.banded.emit(QRectF(start, event.position()).normalized())
            return
        chromatic = bool(event.modifiers() & CHROMATIC)
        try:
            change = self._drag.change(moved.x() / self._zoom, moved.y() / self._zoom, chromatic=chromatic)
        except PhrasebenchError as error:
            self.refused.emit(str(error))
            return
        self._say_refusal(change.reason if isinstance(change, Refusal) else "")
        self._change = None if isinstance(change, Refusal) else change
        self.previewed.emit(self._change)

    def _say_refusal(self, reason: str) -> None:
        """Say once why the drag cannot go there; let go of that once it can."""
        if reason != self._refusal:
            self._refusal = reason
            if reason:
                self.refused.emit(reason)
            else:
                self.unrefused.emit()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Make the change."""
        if event.button() is not Qt.MouseButton.LeftButton:
            return
        change, place = self._change, self._place_at(event.position())[0]
        pressed = self._pressed_at is not None and not self._dragging
        self._let_go()
        self.banded.emit(QRectF())
        if pressed and self._was_among:
            self.pressed_alone.emit(place)
        if change is not None:
            self.dropped.emit(change)

    def cancel_drag(self) -> bool:
        """Let go without changing anything; whether something was being dragged."""
        dragging = self._dragging
        self._say_refusal("")
        self._let_go()
        if dragging:
            self.banded.emit(QRectF())
            self.previewed.emit(None)
        return dragging

    def _let_go(self) -> None:
        if self._dragging:
            self.update()
        self._change, self._drag, self._pressed_at, self._refusal = None, None, None, ""
        self._dragging = self._banding = False

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Name a chord, or add a note or chord where there is none."""
        if self._song is None:
            return
        self._let_go()
        place, kind = self._place_at(event.position())
        chord = place.chord(self._song)
        if chord is not None:
            self.chord_wanted.emit(self.number, chord.onset)
        elif kind == "part":
            self._add_at(self._song, event.position())

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:  # noqa: N802 - Qt's name
        """Select what is there and ask for its menu."""
        place, _ = self._place_at(QPointF(event.pos()))
        self.pressed.emit(place)
        self.menu_wanted.emit(place, event.globalPos())

    def _add_at(self, song: Song, point: QPointF) -> None:
        layout = self.layout_of_row
        x, y = point.x() / self._zoom, point.y() / self._zoom
        line = layout.lines[layout.line_at(y)]
        if x < line.left - layout.lead:
            return
        start = song.part_onsets[self.number - 1]
        moment = layout.tick_at(x - layout.lead, y)
        onset = layout.nearest(x - layout.lead, y, grid(song.metre_at(start + moment)))
        onset = min(onset, layout.duration - 1)
        if y >= line.chords_top - 8:
            self.chord_wanted.emit(self.number, onset)
            return
        octave, letter = divmod(layout.staff_step_at(y), len(LETTERS))
        pitch = Pitch.of(song.key_at(start + onset).altered(LETTERS[letter]), octave)
        self.note_wanted.emit(self.number, onset, pitch)

    def _show_pointer(self, point: QPointF) -> None:
        shapes = {
            "note": Qt.CursorShape.OpenHandCursor,
            "wire-end": Qt.CursorShape.SizeHorCursor,
            "landing": Qt.CursorShape.SizeHorCursor,
            "chord": Qt.CursorShape.PointingHandCursor,
        }
        subject = self.subject_at(point)
        self.setCursor(shapes.get(subject.kind if subject else "", Qt.CursorShape.ArrowCursor))

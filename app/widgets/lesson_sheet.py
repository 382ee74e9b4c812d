"""The lesson sheet in the window: a row for each part, cuts between them, one place selected."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QPointF, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QAccessible, QAccessibleEvent, QContextMenuEvent, QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QWidget

from app.widgets.change import Change
from app.widgets.cut_effort import CutEffort
from app.widgets.cut_handle import CutHandle
from app.widgets.part_row import PartRow
from app.widgets.place_words import selection_in_words
from app.widgets.selecting_frame import SelectingFrame
from app.widgets.selection import Kind, Place, Selection, moment_place, struck_with
from app.widgets.sheet_view import SheetView
from app.widgets.themes import Themes
from app.widgets.walking import down, extend_by_key, first_in, sideways, up
from core.drawing.shapes import Subject
from core.edits.move_cut import move_cut
from core.song.errors import PhrasebenchError
from core.song.metre import bar_at
from core.song.song import Song


class LessonSheet(SheetView):
    """Rows of beads and chords, which are walked over, dragged and cut."""

    spoken_role = QAccessible.Role.Canvas
    change_wanted = Signal(object)
    """A change made with the mouse."""
    cut_moved = Signal(int, int)
    """Number of the part before a cut, and the moment of the song it was dragged to."""
    cut_nudged = Signal(int, int, bool)
    """Number of the part before a cut, earlier or later, and whether by a whole bar."""
    note_wanted = Signal(int, int, object)
    chord_wanted = Signal(int, int)
    play_wanted = Signal(str, int)
    menu_wanted = Signal(object, object)
    typed = Signal(object)
    """A key that the sheet itself has no use for; accepted by whoever has."""
    refused = Signal(str)
    """Why something cannot be done."""
    unrefused = Signal()
    """What could not be done just now can be again."""

    def __init__(self, song: Song, selection: Selection, themes: Themes, parent: QWidget | None = None) -> None:
        super().__init__(song, selection, themes, parent)
        self.setObjectName("sheet")
        self.setProperty("look", "")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._marked: PartRow | None = None
        self.cut_effort = CutEffort(self._content)
        self._frame = SelectingFrame(themes, self._content)
        selection.changed.connect(self._selection_changed)
        self._restyle()
        self._say_place()

    def show_song(self, song: Song) -> None:
        """Show another song; rows that did not change stay as they are."""
        self._song = self._shown = song
        self._unmark()
        self._restyle()
        self._say_place()

    def show_moment(self, tick: int) -> None:
        """Select what lies at a moment of the song, bring it into sight and mark its bar until something else is."""
        song = self._song
        place = moment_place(song, tick)
        self._selection.select(place)
        row, start = self.rows[place.part - 1], song.part_onsets[place.part - 1]
        bar = bar_at(song.bars, tick)
        row.show_stretch((bar.onset - start, bar.end - start))
        self._marked = row
        self._bring_into_sight(QRect(row.pos(), row.size()))
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def _unmark(self) -> None:
        marked, self._marked = self._marked, None
        if marked is not None:
            marked.show_stretch(None)

    def box_for_chord(self, part: int, tick: int) -> tuple[QWidget, QRect]:
        """Where a chord's name may be typed: a widget to put a field on, and its place there."""
        row = self.rows[part - 1]
        box = row.chord_box(tick)
        self._bring_into_sight(box.translated(row.pos()))
        return self._content, box.translated(row.pos())

    def cancel_drag(self) -> bool:
        """Let go of whatever is being dragged; whether there was something."""
        return any(row.cancel_drag() for row in self.rows)

    def focusInEvent(self, event: QFocusEvent) -> None:  # noqa: N802 - Qt's name
        """Show a frame where the keyboard's attention came by Tab."""
        super().focusInEvent(event)
        tabbed = event.reason() in (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason)
        look = "tabbed" if tabbed else ""
        if look != self.property("look"):
            self.setProperty("look", look)
            self.style().unpolish(self)
            self.style().polish(self)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Walk with the arrow keys; hand every other key on."""
        song, place = self._song, self._selection.place
        plain = event.modifiers() in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier)
        steps = {
            Qt.Key.Key_Left: lambda: sideways(place, song, -1),
            Qt.Key.Key_Right: lambda: sideways(place, song, 1),
            Qt.Key.Key_Up: lambda: up(place, song),
            Qt.Key.Key_Down: lambda: down(place, song),
            Qt.Key.Key_Home: lambda: first_in(song, place.part),
            Qt.Key.Key_PageDown: lambda: first_in(song, min(place.part + 1, len(song.parts))),
            Qt.Key.Key_PageUp: lambda: first_in(song, max(place.part - 1, 1)),
        }
        if event.key() == Qt.Key.Key_Escape and self.cancel_drag():
            return
        if event.modifiers() == Qt.KeyboardModifier.ShiftModifier and extend_by_key(
            self._selection, song, Qt.Key(event.key())
        ):
            return
        step = steps.get(Qt.Key(event.key())) if plain else None
        if step is not None:
            self._selection.select(step())
            return
        event.ignore()
        self.typed.emit(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:  # noqa: ARG002, N802 - Qt's name
        """Ask for the menu of what is selected."""
        place = self._selection.place
        self.menu_wanted.emit(place, self.point_of(place))

    def _new_row(self, number: int) -> PartRow:
        row = super()._new_row(number)
        row.pressed.connect(self._pressed)
        row.pressed_alone.connect(self._selection.select)
        row.extended.connect(self._extend)
        row.banded.connect(lambda box, row=row: self._band(row, box))
        row.previewed.connect(self._preview_change)
        row.dropped.connect(self._dropped)
        row.refused.connect(self.refused)
        row.unrefused.connect(self.unrefused)
        row.note_wanted.connect(self.note_wanted)
        row.chord_wanted.connect(self.chord_wanted)
        row.play_wanted.connect(self.play_wanted)
        row.menu_wanted.connect(self.menu_wanted)
        return row

    def _new_cut(self, after: int) -> CutHandle:
        cut = super()._new_cut(after)
        cut.dragged.connect(self._preview_cut)
        cut.dropped.connect(self._drop_cut)
        cut.nudged.connect(self.cut_nudged)
        cut.cancelled.connect(self._give_up_cut)
        cut.reasons = self._why_cut
        return cut

    def _why_cut(self, after: int) -> str:
        from app.widgets.row_hints import hint_about  # no start needs it

        return hint_about(self._shown, Subject("cut", after))

    def _pressed(self, place: Place) -> None:
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        if place in self._selection.several:
            return
        struck = struck_with(place, self._song)
        if len(struck) > 1:
            self._selection.select_several(struck, place)
        else:
            self._selection.select(place)

    def _extend(self, place: Place) -> None:
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        self._selection.extend_to(place, self._song)

    def _band(self, row: PartRow, box: QRectF) -> None:
        """Draw a rectangle and select the notes in it; an empty one goes away."""
        if self._frame.show_around(box.translated(QPointF(row.pos()))):
            self._selection.select_several(self._frame.notes_in(self.rows) or [Place(row.number)])

    def _preview_change(self, change: Change | None) -> None:
        if change is None:
            self.preview(None)
            return
        try:
            self.preview(change.edit(self._song))
        except PhrasebenchError as error:
            self.refused.emit(str(error))

    def _dropped(self, change: Change) -> None:
        self._shown = self._song
        self.change_wanted.emit(change)
        self._restyle()

    def _cut_at(self, after: int, right: float) -> int:
        """Where a cut that is dragged so many pixels comes to lie, in ticks from the song's start."""
        song = self._song
        cut = song.part_onsets[after]
        beat = song.metre_at(max(0, cut - 1)).beat_ticks
        width = self.rows[after - 1].layout_of_row.pixels_per_tick * self._zoom * beat
        return min(max(0, cut + round(right / width) * beat), song.length)

    def _preview_cut(self, after: int, right: float) -> None:
        try:
            previewed = move_cut(self._song, after, self._cut_at(after, right))
            self.preview(previewed)
            self.cut_effort.show_beside(self.cuts[after - 1].geometry(), self._song, previewed, after)
        except PhrasebenchError as error:
            self.refused.emit(str(error))

    def _give_up_cut(self) -> None:
        self.cut_effort.hide()
        self.preview(None)

    def _drop_cut(self, after: int, right: float) -> None:
        tick = self._cut_at(after, right)
        self._give_up_cut()
        if tick != self._song.part_onsets[after]:
            self.cut_moved.emit(after, tick)

    def _selection_changed(self, before: Place, after: Place) -> None:  # noqa: ARG002 - the row knows what it showed
        self._unmark()
        self._show_rows()
        self._is_scrolled = False
        self._bring_into_sight(self._selected_box())
        self._say_place()

    def _say_place(self) -> None:
        """Let a screen reader say what is selected."""
        place = selection_in_words(self._song, self._selection, self._settings.way_of_naming)
        marked = self.rows[min(self._selection.place.part, len(self.rows)) - 1].told_of(self._selection.place)
        name = " ".join(filter(None, (self.tr("Lesson sheet. %1").replace("%1", place), marked)))
        known = self.accessibleName()
        if name == known:
            return
        self.setAccessibleName(name)
        if known:
            QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.NameChanged))

    def point_of(self, place: Place) -> QPoint:
        """The point on the screen below what is at a place, for its menu."""
        row = self.rows[place.part - 1]
        kind = {Kind.NOTE: "note", Kind.CHORD: "chord"}.get(place.kind, "part")
        box = row.box_of(Subject(kind, place.part, place.index)) or row.rect()
        return row.mapToGlobal(QPoint(box.center().x(), min(box.bottom(), row.height())))

"""The lesson sheet in the window: a row for each part, cuts between them, one place selected.

Only rows whose part (or selection, or size) changed are laid out anew, and only once they are seen.
"""

from __future__ import annotations

from math import inf
from typing import Final

from PySide6.QtCore import QPoint, QPointF, QRect, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QAccessible, QAccessibleEvent, QContextMenuEvent, QFocusEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QScrollArea, QWidget

from app.widgets.change import Change
from app.widgets.cut_effort import CutEffort
from app.widgets.cut_handle import CutHandle
from app.widgets.part_row import PartRow
from app.widgets.place_words import selection_in_words
from app.widgets.row_content import RowLook, Shown
from app.widgets.row_facts import font_metrics
from app.widgets.row_stack import GAP, MARGIN, RowStack
from app.widgets.selecting_frame import SelectingFrame
from app.widgets.selection import Kind, Place, Selection, moment_place, struck_with
from app.widgets.themes import Themes
from app.widgets.viewports import lay_ground
from app.widgets.walking import down, extend_by_key, first_in, sideways, up
from core.drawing.shapes import Subject
from core.drawing.sheet_style import SheetStyle, sheet_style
from core.edits.move_cut import move_cut
from core.session.timing import LessonSettings
from core.song.errors import PhrasebenchError
from core.song.metre import bar_at
from core.song.song import Song

SCREENS_AHEAD: Final = 2
AHEAD_MILLISECONDS: Final = 20
"""Rows of so many screens below the one in sight are laid out beforehand, and those of the next one painted, one after
another with so long between."""
LARGER_IN_WIDE_WINDOWS: Final = ((1150, 1.0), (1400, 1.15), (inf, 1.3))
"""Up to so many pixels of width, the sheet is drawn so many times as large as was chosen."""


class LessonSheet(QScrollArea):
    """Rows of beads and chords."""

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
        super().__init__(parent)
        self.setObjectName("sheet")
        self.setProperty("look", "")
        self._song = self._shown = song
        self._selection = selection
        self._themes = themes
        self._settings = LessonSettings()
        self._chosen_zoom = self._zoom = 1.0
        self._playing: Subject | None = None
        self._style: SheetStyle | None = None
        self._trial_style: SheetStyle | None = None
        self._drawn: Shown | None = None
        self._marked: PartRow | None = None
        self._playing_line: tuple[int, int] | None = None
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        lay_ground(self, filled=True)
        self._content = QWidget()
        self._content.setObjectName("sheet-content")
        self.setWidget(self._content)
        self._stack = RowStack(self._content)
        self.rows, self.cuts = self._stack.rows, self._stack.cuts
        self.cut_effort = CutEffort(self._content)
        self._frame = SelectingFrame(themes, self._content)
        self._again = QTimer(self)
        self._again.setSingleShot(True)
        self._again.setInterval(0)
        self._again.timeout.connect(self._wrap_anew)
        self._is_scrolled = False
        self.verticalScrollBar().actionTriggered.connect(self._scrolled)
        self._ahead = QTimer(self)
        self._ahead.setSingleShot(True)
        self._ahead.setInterval(AHEAD_MILLISECONDS)
        self._ahead.timeout.connect(self._look_ahead)
        selection.changed.connect(self._selection_changed)
        themes.changed.connect(self._dress)
        self.verticalScrollBar().valueChanged.connect(self._show_seen)
        self._restyle()
        self._say_place()

    @property
    def shown_song(self) -> Song:
        """The song as it is drawn now, with whatever is being dragged where it would be dropped."""
        return self._shown

    def show_song(self, song: Song) -> None:
        """Show another song; rows that did not change stay as they are."""
        self._song = self._shown = song
        self._unmark()
        self._restyle()
        self._say_place()

    def preview(self, song: Song | None) -> None:
        """Show a song that is not the lesson's yet, or the lesson's again."""
        self._shown = song or self._song
        self._restyle()

    def set_zoom(self, percent: int) -> None:
        """Show the sheet in another size."""
        self._chosen_zoom = percent / 100
        self._wrap_anew()

    def set_lesson_settings(self, settings: LessonSettings) -> None:
        """Count the time to teach in another way, call notes by other names."""
        self._settings = settings
        self._restyle()

    def show_playing(self, subject: Subject | None) -> None:
        """Mark the play button whose music sounds."""
        if subject != self._playing:
            self._playing = subject
            self._show_rows()

    def show_position(self, part: int, tick: int | None) -> None:
        """Draw the dotted line at a moment of a part, or nowhere; keep the line of the row in sight that it is in.

        Only a step into another line scrolls, so that one can look elsewhere while it plays.
        """
        at = None
        if tick is not None and 1 <= part <= len(self.rows):
            at = (part, self.rows[part - 1].layout_of_row.point_of(tick)[0])
        if at is not None and at != self._playing_line:
            self._bring_into_sight(self.rows[part - 1].box_around(at[1]).translated(self.rows[part - 1].pos()))
        self._playing_line = at
        for row in self.rows:
            row.show_position(tick if row.number == part else None)

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

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Wrap the rows to the new width."""
        super().resizeEvent(event)
        self._again.start()

    def _restyle(self) -> None:
        """Choose the style for the whole song, then show every row that is not as it should be."""
        self._again.stop()
        self._zoom = self._chosen_zoom * next(
            larger for widest, larger in LARGER_IN_WIDE_WINDOWS if self.viewport().width() < widest
        )
        if self._shown is not self._song and self._style is not None:
            kept = set(map(id, self._song.parts))  # nothing shifts under a hand that drags
            self._trial_style = self._style.with_room_for(part for part in self._shown.parts if id(part) not in kept)
        else:
            room = max(320.0, (self.viewport().width() - 2 * MARGIN) / self._zoom)
            self._style = sheet_style(self._song, font_metrics(), room, self._settings.way_of_naming)
            self._trial_style = None
        self._match_rows()
        self._show_rows()

    def _match_rows(self) -> None:
        """As many rows as the song has parts, and a cut between every two."""
        count = len(self._shown.parts)
        while len(self.rows) > count:
            _drop(self.rows.pop())
        while len(self.cuts) > max(0, count - 1):
            _drop(self.cuts.pop())
        for number in range(len(self.rows) + 1, count + 1):
            self.rows.append(self._new_row(number))
        for after in range(len(self.cuts) + 1, count):
            self.cuts.append(self._new_cut(after))

    def _new_row(self, number: int) -> PartRow:
        row = PartRow(number, self._themes, self._content)
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
        row.show()
        return row

    def _new_cut(self, after: int) -> CutHandle:
        cut = CutHandle(after, self._themes, self._content)
        cut.dragged.connect(self._preview_cut)
        cut.dropped.connect(self._drop_cut)
        cut.nudged.connect(self.cut_nudged)
        cut.cancelled.connect(self._give_up_cut)
        cut.reasons = self._why_cut
        cut.show()
        return cut

    def _why_cut(self, after: int) -> str:
        from app.widgets.row_hints import hint_about  # no start needs it

        return hint_about(self._shown, Subject("cut", after))

    def _show_rows(self) -> None:
        if self._style is None:
            return
        shown = Shown(
            RowLook(self._style, self._zoom, self._settings),
            self._shown,
            self._selection.place,
            self._playing,
            self._selection.several,
            self._song if self._shown is not self._song else None,
            self._trial_style,
        )
        before, self._drawn = self._drawn, shown
        differ = shown.rows_unlike(before)
        if differ is None:
            self._show_every_row(shown, same_bars=before is not None and shown.has_bars_of(before))
        else:
            grown = [self._show_row(shown, number) for number in differ]
            moved = before is not None and before.song.part_onsets != shown.song.part_onsets
            if any(grown) or moved or (shown.kept is None and not self._stack.is_whole):
                self._stack.place(shown.song, self._seen(), differ[0] if differ and shown.kept is not None else None)
                self._show_seen()
        self._stack.let_near_cuts_be_reached(before.place if before and differ is not None else None, shown.place)
        self._ahead.start()

    def _show_row(self, shown: Shown, number: int) -> bool:
        """Show a row at its place; whether its size has changed, so that the rows below have to move."""
        row = self.rows[number - 1]
        in_sight = number == 1 or row.geometry().intersects(self._seen())
        return row.show_part(shown.content(number), seen=in_sight, estimate=row.height())

    def _show_every_row(self, shown: Shown, *, same_bars: bool) -> None:
        top = MARGIN
        seen = self._seen()
        estimate = 0
        for row in self.rows:
            in_sight = top < seen.bottom() and top + row.height() > seen.top()
            row.show_part(shown.content(row.number), seen=in_sight or row.number == 1, estimate=estimate)
            estimate = estimate or row.height()  # of the first row, which is always laid out
            top += row.height() + GAP
        self._stack.place(shown.song, seen, same_bars=same_bars)

    def _seen(self) -> QRect:
        top = self.verticalScrollBar().value()
        return QRect(0, top, self.viewport().width(), self.viewport().height())

    def _show_seen(self) -> None:
        """Lay out the rows that have come into sight, as far as they are not."""
        if not self._stack.reaches(self._seen()):
            self._stack.place(self._shown, self._seen())
        self._show_stale(self._seen())
        self._ahead.start()

    def _show_stale(self, sight: QRect, most: int | None = None) -> bool:
        """Lay out rows in a stretch of the sheet that are not as they should be; whether there were any."""
        found = False
        while self._drawn is not None:
            stale = [row for row in self._stack.rows_within(sight) if row.is_stale][:most]
            if not stale:
                break
            found = True
            shown = self._drawn
            grown = [
                row.number
                for row in stale
                if row.show_part(shown.content(row.number), seen=True, estimate=row.height())
            ]
            if grown:
                self._stack.make_room(self._shown, self._seen(), grown)
            if most is not None:
                break
        return found

    def _look_ahead(self) -> None:
        """Lay out a row that will come into sight next, or paint one, while there is nothing else to do."""
        seen = self._seen()
        below = QRect(seen.left(), seen.bottom(), seen.width(), seen.height() * SCREENS_AHEAD)
        if not self.isVisible():
            return
        if self._show_stale(below, most=1):
            self._ahead.start()
            return
        next_screen = QRect(below.topLeft(), seen.size())
        row = next((row for row in self._stack.rows_within(next_screen) if row.is_unpainted), None)
        if row is not None:
            row.paint_ahead()
            self._ahead.start()

    def _dress(self) -> None:
        for row in self.rows:
            row.forget_picture()
        for cut in self.cuts:
            cut.update()

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

    def _scrolled(self, *_: int) -> None:
        self._is_scrolled = True

    def _selected_box(self) -> QRect:
        """The row of what is selected; where the row is taller than the window, the note or chord itself."""
        place = self._selection.place
        row = self.rows[min(place.part, len(self.rows)) - 1]
        box = QRect(row.pos(), row.size())
        kind = {Kind.NOTE: "note", Kind.CHORD: "chord"}.get(place.kind)
        inside = row.box_of(Subject(kind, place.part, place.index)) if kind else None
        return box if box.height() <= self.viewport().height() or not inside else inside.translated(row.pos())

    def _wrap_anew(self) -> None:
        """Wrap the rows to another width or size; what is selected stays in sight unless it was scrolled away from."""
        self._restyle()
        if not self._is_scrolled:
            self._show_seen()
            self._bring_into_sight(self._selected_box())

    def _bring_into_sight(self, box: QRect) -> None:
        seen = self._seen()
        if box.top() - MARGIN < seen.top():
            self.verticalScrollBar().setValue(box.top() - MARGIN)
        elif box.bottom() + MARGIN > seen.bottom():
            self.verticalScrollBar().setValue(box.bottom() + MARGIN - seen.height())

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


def _drop(widget: QWidget) -> None:
    widget.hide()
    widget.deleteLater()

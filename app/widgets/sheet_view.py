"""The rows of the lesson sheet as they are seen: laid out in the width there is, and only once they come into sight.

Only rows whose part (or selection, or size) changed are laid out anew.
"""

from __future__ import annotations

from math import inf
from typing import Final

from PySide6.QtCore import QRect, Qt, QTimer
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QScrollArea, QWidget

from app.widgets.cut_handle import CutHandle
from app.widgets.part_row import PartRow
from app.widgets.row_content import RowLook, Shown
from app.widgets.row_facts import font_metrics
from app.widgets.row_stack import GAP, MARGIN, RowStack
from app.widgets.selection import Kind, Selection
from app.widgets.themes import Themes
from app.widgets.viewports import lay_ground
from core.drawing.shapes import Subject
from core.drawing.sheet_style import SheetStyle, sheet_style
from core.session.timing import LessonSettings
from core.song.song import Song

SCREENS_AHEAD: Final = 2
AHEAD_MILLISECONDS: Final = 20
"""Rows of so many screens below the one in sight are laid out beforehand, and those of the next one painted, one after
another with so long between."""
LARGER_IN_WIDE_WINDOWS: Final = ((1150, 1.0), (1400, 1.15), (inf, 1.3))
"""Up to so many pixels of width, the sheet is drawn so many times as large as was chosen."""


class SheetView(QScrollArea):
    """A row for each part and the cuts between them, to be looked at.

    Args:
        song: what is shown.
        selection: what is marked.
        themes: the colours.
        parent: the widget it lies in.
    """

    def __init__(self, song: Song, selection: Selection, themes: Themes, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._song = self._shown = song
        self._selection = selection
        self._themes = themes
        self._settings = LessonSettings()
        self._chosen_zoom = self._zoom = 1.0
        self._playing: Subject | None = None
        self._style: SheetStyle | None = None
        self._trial_style: SheetStyle | None = None
        self._drawn: Shown | None = None
        self._playing_line: tuple[int, int] | None = None
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        lay_ground(self, filled=True)
        self._content = QWidget()
        self._content.setObjectName("sheet-content")
        self.setWidget(self._content)
        self._stack = RowStack(self._content)
        self.rows, self.cuts = self._stack.rows, self._stack.cuts
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
        themes.changed.connect(self._dress)
        self.verticalScrollBar().valueChanged.connect(self._show_seen)

    @property
    def shown_song(self) -> Song:
        """The song as it is drawn now, with whatever is being dragged where it would be dropped."""
        return self._shown

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

    def _new_row(self, number: int) -> PartRow:
        """A row for a part; whoever works on it connects what is done there."""
        row = PartRow(number, self._themes, self._content)
        row.show()
        return row

    def _new_cut(self, after: int) -> CutHandle:
        """A handle for the cut after a part, likewise."""
        cut = CutHandle(after, self._themes, self._content)
        cut.show()
        return cut


def _drop(widget: QWidget) -> None:
    widget.hide()
    widget.deleteLater()

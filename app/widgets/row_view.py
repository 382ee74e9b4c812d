"""One row of the lesson sheet as it is seen: the part laid out, painted and pointed at."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QHelpEvent, QPainter, QPaintEvent, QTransform
from PySide6.QtWidgets import QToolTip, QWidget

from app.widgets.row_button import RowButton
from app.widgets.row_content import RowContent
from app.widgets.row_facts import font_metrics, passing_facts, row_facts
from app.widgets.row_marks import Marked, RowMarks
from app.widgets.row_overlays import paint_over, paint_stretch
from app.widgets.row_pixels import RowPixels
from app.widgets.selection import Kind, Place
from app.widgets.themes import Themes
from core.drawing.hit_testing import place_of, subject_at, subjects_in
from core.drawing.lesson_sheet import RowLayout, lay_out_row
from core.drawing.shapes import Picture, Shape, Subject
from core.song.song import Song
from core.teaching.naming import Naming

PLAY_PART, PLAY_THROUGH = "play-part", "play-through"


class RowView(QWidget):
    """The row of one part."""

    play_wanted = Signal(str, int)
    """``play-part`` or ``play-through``, and the part's number."""

    def __init__(self, number: int, themes: Themes, parent: QWidget) -> None:
        super().__init__(parent)
        self.number = number
        self._themes = themes
        self._shown: RowContent | None = None
        self._is_stale = True
        self._is_passing = False
        self._seconds: float | None = None
        self._layout: RowLayout | None = None
        self._pixels = RowPixels()
        self._unselected: tuple[RowContent, RowLayout] | None = None
        self._position: int | None = None
        self._stretch: tuple[int, int] | None = None
        self._marks = RowMarks()
        self.play_part = self._button(PLAY_PART)
        self.play_through = self._button(PLAY_THROUGH)
        self.play_part.setAccessibleName(self.tr("Play part %1").replace("%1", str(number)))
        self.play_through.setAccessibleName(self.tr("Play parts 1 to %1").replace("%1", str(number)))

    def _button(self, kind: str) -> RowButton:
        button = RowButton(self._themes, self)
        button.clicked.connect(lambda: self.play_wanted.emit(kind, self.number))
        button.hide()
        return button

    @property
    def layout_of_row(self) -> RowLayout:
        """The row as it is laid out; a row that waited until it is seen is laid out now."""
        if self._is_stale or self._layout is None:
            self._lay_out()
        assert self._layout is not None, "a row is shown before it is asked"
        return self._layout

    @property
    def picture(self) -> Picture:
        """The row's picture."""
        return self.layout_of_row.picture

    def show_part(self, content: RowContent, *, seen: bool, estimate: int) -> bool:
        """Show a part.

        Args:
            content: what to show.
            seen: whether the row is in sight; one that nobody sees is laid out when it is.
            estimate: pixels of height that a row has until it is first laid out.

        Returns:
            Whether the row's size has changed.
        """
        if content != self._shown or (self._is_passing and not content.passing):
            self._shown, self._is_stale = content, True
        if not self._is_stale:
            return False
        before = self.size()
        if seen:
            self._lay_out()
        elif self._layout is None:
            self.resize(self.width(), estimate)
        return self.size() != before

    def _lay_out(self) -> None:
        content = self._shown
        if content is None:
            return
        look = content.look
        known = self._unselected
        if known is not None and known[0].song is content.song and known[0] == content:
            layout = known[1]
        else:
            layout = self._laid_out(content)
            is_plain = content.place is None and not content.several and not content.passing
            self._unselected = (content, layout) if is_plain else self._unselected
        self._layout, self._is_stale, self._is_passing = layout, False, content.passing
        if self.accessibleName() != layout.picture.description:
            self.setAccessibleName(layout.picture.description)
        self.resize(round(layout.picture.width * look.zoom), round(layout.picture.height * look.zoom))
        places = self._pixels.show(layout.picture, look.zoom)
        self._place_buttons(moved=places is None)
        if places is None:
            self.update()
        else:
            to_widget = QTransform.fromScale(look.zoom, look.zoom)
            for place in places:
                self.update(to_widget.mapRect(place).toAlignedRect().adjusted(-2, -2, 2, 2))

    def _laid_out(self, content: RowContent) -> RowLayout:
        place, look = content.place, content.look
        if content.passing:
            facts = passing_facts(content.song, self.number, self._seconds)
        else:
            facts = row_facts(content.song, self.number, look.settings)
            self._seconds = facts.teach_seconds
        kind = place.kind if place else Kind.PART
        return lay_out_row(
            content.song,
            self.number,
            look.style,
            font_metrics(),
            place.index if place and kind is Kind.NOTE else None,
            facts,
            selected=place is not None,
            selected_chord=place.index if place and kind is Kind.CHORD else None,
            selected_notes=content.several,
            playing=content.playing,
        )

    @property
    def is_stale(self) -> bool:
        """Whether the row has to be laid out anew once it is seen."""
        return self._is_stale

    @property
    def is_unpainted(self) -> bool:
        """Whether the row has yet to be painted whole."""
        return not self._pixels.is_painted

    def paint_ahead(self) -> None:
        """Paint the row before it comes into sight."""
        if not self._is_stale and self._layout is not None:
            self._pixels.painted(self.size(), self.devicePixelRatioF(), self._themes.theme)

    def forget_picture(self) -> None:
        """Let go of the painted picture; it is painted anew when it is seen."""
        self._pixels.forget()
        self.update()

    def show_position(self, tick: int | None) -> None:
        """Draw the dotted line at a moment of the part, or no line."""
        if tick != self._position:
            before, self._position = self._position, tick
            for moment in (before, tick):
                if moment is not None:
                    self.update(self._stripe(moment))

    def show_stretch(self, stretch: tuple[int, int] | None) -> None:
        """Mark a stretch of the part, in ticks from its start, or nothing."""
        if stretch != self._stretch:
            self._stretch = stretch
            self.update()

    def show_marks(self, marked: Mapping[Subject, Marked]) -> None:
        """Mark these beads and bars and no others."""
        layout = None if self._is_stale else self._layout
        zoom = self._zoom
        for box in self._marks.show(marked, layout):
            self.update(QTransform.fromScale(zoom, zoom).mapRect(box).toAlignedRect())

    @property
    def marked(self) -> Mapping[Subject, Marked]:
        """What is marked on beads and bars."""
        return self._marks.marked

    def told_of(self, place: Place) -> str:
        """Why a note or a chord of this row is marked, in a sentence or more; empty where it is not."""
        kind = {Kind.NOTE: "note", Kind.CHORD: "chord"}.get(place.kind, "")
        return " ".join(self._marks.reasons(Subject(kind, self.number, place.index)))

    def box_of(self, subject: Subject) -> QRect | None:
        """Where a subject is drawn, in this widget's pixels."""
        box = place_of(self.picture, subject, font_metrics())
        if box is None:
            return None
        zoom = self._zoom
        return QRectF(
            box.left * zoom, box.top * zoom, (box.right - box.left) * zoom, (box.bottom - box.top) * zoom
        ).toAlignedRect()

    def box_around(self, line: int) -> QRect:
        """Where one line of the wrapped row is drawn, in this widget's pixels; the whole row where it has just one."""
        lines = self.layout_of_row.lines
        if len(lines) == 1:
            return self.rect()
        zoom = self._zoom
        top, bottom = lines[line].top * zoom, lines[line].bottom * zoom
        return QRectF(0, top, self.width(), bottom - top).toAlignedRect()

    def chord_box(self, tick: int) -> QRect:
        """Where the left hand's bar is drawn at a moment, in this widget's pixels; as wide as a name."""
        layout, zoom = self.layout_of_row, self._zoom
        index, x = layout.point_of(tick)
        line = layout.lines[index]
        return QRectF(x * zoom, (line.chords_top - 2) * zoom, 96 * zoom, 30 * zoom).toAlignedRect()

    @property
    def _zoom(self) -> float:
        return self._shown.look.zoom if self._shown else 1.0

    @property
    def _song(self) -> Song | None:
        return self._shown.song if self._shown else None

    @property
    def _several(self) -> frozenset[Place]:
        content = self._shown
        return content.all_selected if content else frozenset()

    def notes_in(self, box: QRectF) -> list[Place]:
        """The places of the notes whose beads or bars have their middle in a rectangle of this widget's pixels."""
        zoom = self._zoom
        found = []
        for subject in subjects_in(self.picture):
            if subject.kind == "note":
                middle = self._middle_of(subject.index)
                if middle is not None and box.contains(middle * zoom):
                    found.append(Place(self.number, Kind.NOTE, subject.index))
        return found

    def _middle_of(self, index: int) -> QPointF | None:
        """The middle of a melody note's bead at 100 %."""
        song = self._song
        note = song.parts[self.number - 1].notes[index] if song else None
        if note is None or not note.melody:
            return None
        layout = self.layout_of_row
        line, x = layout.point_of(note.onset)
        return QPointF(x + layout.lead, layout.y_of_step(note.pitch.staff_step, line))

    def _stripe(self, tick: int) -> QRect:
        line = self.layout_of_row.position_line(tick)
        zoom = self._zoom
        return QRectF(
            (line.x1 - 3) * zoom, (line.y1 - 2) * zoom, 6 * zoom, (line.y2 - line.y1 + 4) * zoom
        ).toAlignedRect()

    def _place_buttons(self, *, moved: bool) -> None:
        for button, kind in ((self.play_part, PLAY_PART), (self.play_through, PLAY_THROUGH)):
            if moved:
                box = self.box_of(Subject(kind, self.number))
                button.setVisible(box is not None)
                button.setGeometry(box or button.geometry())
            selected = self._shown is not None and self._shown.place is not None
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus if selected else Qt.FocusPolicy.NoFocus)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802 - Qt's name
        """Paint the row, and the dotted line over it while it plays."""
        if self._shown is None:
            return
        self.layout_of_row  # noqa: B018 - laid out at the latest now
        cached = self._pixels.painted(self.size(), self.devicePixelRatioF(), self._themes.theme)
        ratio = cached.devicePixelRatio()
        painter = QPainter(self)
        seen = QRectF(event.rect())
        painter.drawPixmap(seen, cached, QRectF(seen.topLeft() * ratio, seen.size() * ratio))
        painter.scale(self._zoom, self._zoom)
        if self._stretch is not None:
            paint_stretch(painter, self.layout_of_row, self._themes.theme, *self._stretch)
        if self._position is not None:
            paint_over(painter, self.layout_of_row.position_lines(self._position), self._themes.theme)
        in_picture = QTransform.fromScale(1 / self._zoom, 1 / self._zoom).mapRect(seen)
        self._marks.paint(painter, self.layout_of_row, self._themes.theme, in_picture)
        paint_over(painter, self._stops(), self._themes.theme)
        painter.end()

    def event(self, event: QEvent) -> bool:
        """Say in a hint what is under the pointer and why."""
        if event.type() is QEvent.Type.ToolTip and isinstance(event, QHelpEvent) and self._song is not None:
            from app.widgets.row_hints import hint_about  # no start needs it

            naming = self._shown.look.settings.way_of_naming if self._shown else Naming.LETTERS
            subject = self.subject_at(QPointF(event.pos()))
            hint = "\n".join(filter(None, (*self._marks.reasons(subject), hint_about(self._song, subject, naming))))
            if hint:
                QToolTip.showText(event.globalPos(), hint, self)
            else:
                QToolTip.hideText()
            return True
        return super().event(event)

    def subject_at(self, point: QPointF) -> Subject | None:
        """What is drawn at a point of this widget."""
        x, y = point.x() / self._zoom, point.y() / self._zoom
        marked = self._marks.subject_at(self.layout_of_row, x, y)
        return marked or subject_at(self.picture, x, y, font_metrics())

    def _stops(self) -> tuple[Shape, ...]:
        """Signs that are shown over the row while something is done with it."""
        return ()

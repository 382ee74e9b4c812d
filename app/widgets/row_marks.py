"""The marks that lie over a row of the lesson sheet: painted by themselves, so that one more repaints its own place."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct
from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from app.widgets.painting import paint
from app.widgets.row_facts import font_metrics
from core.drawing.colours import Theme
from core.drawing.hit_testing import box_of, subject_at
from core.drawing.lesson_sheet import RowLayout
from core.drawing.row_marks import Mark, draw_marks
from core.drawing.shapes import Picture, Shape, Subject


class Marked(Struct, frozen=True):
    """What is marked on a bead or a bar.

    Attributes:
        marks: the marks, the weightiest first.
        reasons: why, a sentence each.
    """

    marks: tuple[Mark, ...]
    reasons: tuple[str, ...] = ()


class RowMarks:
    """The marks of one row, laid out one by one as they are wanted."""

    def __init__(self) -> None:
        self._marked: Mapping[Subject, Marked] = {}
        self._layout: RowLayout | None = None
        self._drawn: dict[Subject, tuple[tuple[Mark, ...], Picture, QRectF]] = {}

    @property
    def marked(self) -> Mapping[Subject, Marked]:
        """What is marked, and why."""
        return self._marked

    def show(self, marked: Mapping[Subject, Marked], layout: RowLayout | None) -> list[QRectF]:
        """Mark these and nothing else.

        Args:
            marked: what is marked.
            layout: the row, or None where it is not laid out now.

        Returns:
            The places that have to be painted anew, in the row's pixels at 100 %.
        """
        before, self._marked = self._marked, dict(marked)
        changed = [
            subject
            for subject in {**before, **marked}
            if (before.get(subject) or _NOTHING).marks != (marked.get(subject) or _NOTHING).marks
        ]
        if layout is None:
            return []
        self._match(layout)
        places = [self._drawn[subject][2] for subject in changed if subject in self._drawn]
        places += [self._draw(layout, subject)[2] for subject in changed if subject in self._marked]
        for subject in [subject for subject in self._drawn if subject not in self._marked]:
            del self._drawn[subject]
        return places

    def paint(self, painter: QPainter, layout: RowLayout, theme: Theme, seen: QRectF) -> None:
        """Paint the marks that lie in a rectangle, in the row's pixels at 100 %."""
        self._match(layout)
        for subject in self._marked:
            _, picture, place = self._draw(layout, subject)
            if place.intersects(seen):
                paint(painter, picture, theme)

    def subject_at(self, layout: RowLayout, x: float, y: float) -> Subject | None:
        """What the mark at a point belongs to."""
        self._match(layout)
        for subject in self._marked:
            _, picture, place = self._draw(layout, subject)
            if place.contains(x, y) and subject_at(picture, x, y, font_metrics()) is not None:
                return subject
        return None

    def reasons(self, subject: Subject | None) -> Sequence[str]:
        """Why something is marked."""
        marked = self._marked.get(subject) if subject is not None else None
        return marked.reasons if marked is not None else ()

    def _match(self, layout: RowLayout) -> None:
        """Forget what was drawn for a row that looked otherwise."""
        if layout is not self._layout:
            self._layout, self._drawn = layout, {}

    def _draw(self, layout: RowLayout, subject: Subject) -> tuple[tuple[Mark, ...], Picture, QRectF]:
        marks = self._marked[subject].marks
        known = self._drawn.get(subject)
        if known is None or known[0] != marks:
            shapes = draw_marks(layout, subject, marks, font_metrics())
            known = self._drawn[subject] = (marks, Picture(0, 0, shapes), _around(shapes))
        return known


_NOTHING = Marked(())


def _around(shapes: Sequence[Shape]) -> QRectF:
    """The rectangle around some shapes; an empty one around none."""
    if not shapes:
        return QRectF()
    boxes = [box_of(shape, font_metrics()) for shape in shapes]
    left, top = min(box.left for box in boxes), min(box.top for box in boxes)
    right, bottom = max(box.right for box in boxes), max(box.bottom for box in boxes)
    return QRectF(left, top, right - left, bottom - top).adjusted(-1, -1, 1, 1)

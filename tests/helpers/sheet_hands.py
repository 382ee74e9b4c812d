"""A hand at the lesson sheet: presses, drags and types as a teacher would."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from app.widgets.part_row import PartRow
from core.drawing.shapes import Subject
from tests.helpers.open_window import OpenWindow

LEFT = Qt.MouseButton.LeftButton


class SheetHands:
    """Does things on the sheet of an open window."""

    def __init__(self, opened: OpenWindow) -> None:
        self.opened = opened
        self.sheet = opened.window.page.sheet

    def row(self, part: int) -> PartRow:
        return self.sheet.rows[part - 1]

    def point(self, kind: str, part: int, index: int = 0) -> QPoint:
        """The middle of a subject; of a note the middle of its bead, of a chord a place near its left end."""
        box = self.row(part).box_of(Subject(kind, part, index))
        assert box is not None, f"no {kind} {index} in part {part}"
        note = self.opened.song.parts[part - 1].notes[index] if kind == "note" else None
        if note is not None and not note.melody:
            return QPoint(box.left() + 6, box.center().y())
        if note is not None:
            layout = self.row(part).layout_of_row
            line, x = layout.point_of(note.onset)
            zoom = self.row(part).height() / self.row(part).picture.height
            y = layout.y_of_step(note.pitch.staff_step, line)
            return QPoint(round((x + layout.lead) * zoom), round(y * zoom))
        if kind == "chord":
            return QPoint(box.left() + 40, box.center().y())
        return box.center()

    def click(self, kind: str, part: int, index: int = 0) -> None:
        QTest.mouseClick(self.row(part), LEFT, pos=self.point(kind, part, index))

    def double_click(self, kind: str, part: int, index: int = 0) -> None:
        self.double_click_at(part, self.point(kind, part, index))

    def double_click_at(self, part: int, point: QPoint) -> None:
        QTest.mouseClick(self.row(part), LEFT, pos=point)
        QTest.mouseDClick(self.row(part), LEFT, pos=point)
        QApplication.processEvents()

    def drag(
        self, widget: QWidget, start: QPoint, right: int, down: int, *, ctrl: bool = False, drop: bool = True
    ) -> None:
        """Drag from a point by pixels, in several moves."""
        modifiers = Qt.KeyboardModifier.ControlModifier if ctrl else Qt.KeyboardModifier.NoModifier
        on_screen = widget.mapToGlobal(start)
        QTest.mousePress(widget, LEFT, modifiers, start)
        for step in (1, 2, 3, 4):
            move_mouse(widget, on_screen + QPoint(right * step // 4, down * step // 4), modifiers)
        if drop:
            QTest.mouseRelease(widget, LEFT, modifiers, widget.mapFromGlobal(on_screen + QPoint(right, down)))

    def drag_subject(self, kind: str, part: int, index: int, right: int, down: int, *, ctrl: bool = False) -> None:
        self.drag(self.row(part), self.point(kind, part, index), right, down, ctrl=ctrl)

    def type(self, text: str) -> None:
        """Type on the sheet."""
        QTest.keyClicks(self.sheet, text)

    def press(self, key: Qt.Key, *modifiers: Qt.KeyboardModifier) -> None:
        """Press a key on the sheet, with modifiers."""
        held = Qt.KeyboardModifier.NoModifier
        for modifier in modifiers:
            held |= modifier
        QTest.keyClick(self.sheet, key, held)

    def names(self, part: int) -> list[str]:
        """The names of a part's notes with their octaves."""
        return [note.pitch.plain for note in self.opened.song.parts[part - 1].notes]


def move_mouse(widget: QWidget, on_screen: QPoint, modifiers: Qt.KeyboardModifier) -> None:
    """Move the mouse to a point on the screen with its left button held; QTest.mouseMove cannot hold one."""
    where = QPointF(widget.mapFromGlobal(on_screen))
    event = QMouseEvent(QEvent.Type.MouseMove, where, QPointF(on_screen), Qt.MouseButton.NoButton, LEFT, modifiers)
    QApplication.sendEvent(widget, event)

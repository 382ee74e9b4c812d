"""The keyboard at the foot of Draft and Listen: lit by hand with fingers, playable with the mouse and by keys."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QAccessible,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
    QResizeEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.widgets.painting import colour, paint, repaint
from app.widgets.row_facts import font_metrics
from app.widgets.themes import Themes
from core.drawing.hand_brackets import BRACKET_ROOM, HandBracket
from core.drawing.hit_testing import Box, place_of, subject_at
from core.drawing.keyboard import LitKey, keyboard_range, lay_out_keyboard, range_of_size
from core.drawing.shapes import Picture, Role, Subject

AS_NEEDED = 0
FEWEST_WHITE_KEYS = 29
"""Four octaves are always shown, so that the keyboard does not jump about while one works."""


class KeyboardView(QWidget):
    """A piano keyboard."""

    spoken_role = QAccessible.Role.Canvas
    key_pressed = Signal(int)
    """MIDI number of a key that was pressed."""
    key_released = Signal(int)
    """MIDI number of a key that was let go."""

    def __init__(self, themes: Themes, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._themes = themes
        self._lit: dict[int, LitKey] = {}
        self._wanted: frozenset[int] = frozenset()
        self._size = AS_NEEDED
        self._range = keyboard_range(frozenset(), FEWEST_WHITE_KEYS)
        self._brackets: tuple[HandBracket, ...] = ()
        self._names: dict[int, str] = {}
        self._picture: Picture | None = None
        self._cached: QPixmap | None = None
        self._bare: tuple[tuple[object, ...], QPixmap] | None = None
        self._key_boxes: dict[int, Box | None] = {}
        self._down: int | None = None
        self._at_key = 60
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(self.tr("Keyboard"))
        themes.changed.connect(self._draw_anew)

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """A band along the window's foot."""
        return QSize(800, 116)

    def show_range(self, midis: frozenset[int]) -> None:
        """Show at least these keys; on a keyboard of a chosen size, as many of them as it has."""
        self._wanted = midis
        wanted = range_of_size(self._size, midis) if self._size else keyboard_range(midis, FEWEST_WHITE_KEYS)
        if wanted != self._range:
            self._range = wanted
            self._at_key = min(max(self._at_key, wanted[0]), wanted[1])
            self._draw_anew()

    def set_size(self, keys: int) -> None:
        """Show a keyboard of so many keys, or `AS_NEEDED` as many as the song wants."""
        if keys != self._size:
            self._size = keys
            self.show_range(self._wanted)

    def show_brackets(self, brackets: Sequence[HandBracket]) -> None:
        """Mark where the hands lie."""
        if tuple(brackets) != self._brackets:
            self._brackets = tuple(brackets)
            self._draw_anew()

    def show_names(self, names: Mapping[int, str]) -> None:
        """Write names on keys, by MIDI number; none where there are none."""
        if dict(names) != self._names:
            self._names = dict(names)
            self._draw_anew()

    @property
    def keys_shown(self) -> tuple[int, int]:
        """MIDI numbers of the lowest and the highest key that is shown."""
        return self._range

    @property
    def brackets(self) -> tuple[HandBracket, ...]:
        """Where the hands are marked."""
        return self._brackets

    def light(self, lit: Mapping[int, LitKey]) -> None:
        """Light these keys and no others."""
        if dict(lit) != self._lit:
            self._lit = dict(lit)
            self._draw_anew()

    @property
    def lit(self) -> Mapping[int, LitKey]:
        """The keys that are lit."""
        return self._lit

    @property
    def picture(self) -> Picture:
        """The keyboard as it is drawn."""
        if self._picture is None:
            first, last = self._range
            self._picture = lay_out_keyboard(
                first,
                last,
                self.width(),
                self.height(),
                self._lit,
                font_metrics(),
                self._names,
                brackets=self._brackets,
            )
            self.setAccessibleDescription(self._picture.description)
        return self._picture

    def key_at(self, point: QPointF) -> int | None:
        """MIDI number of the key at a point."""
        subject = subject_at(self.picture, point.x(), point.y(), font_metrics(), reach=0.0)
        return subject.index if subject and subject.kind == "key" else None

    def point_on(self, midi: int) -> QPointF:
        """A point on a key, near its foot; raises ValueError where the key is not shown."""
        box = place_of(self.picture, Subject("key", index=midi), font_metrics())
        if box is None:
            raise ValueError(f"the key {midi} is not shown")
        return QPointF((box.left + box.right) / 2, box.bottom - 3)

    def _draw_anew(self) -> None:
        self._picture = self._cached = None
        self.update()

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Lay the keys out anew."""
        super().resizeEvent(event)
        self._draw_anew()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002, N802 - Qt's name
        """Paint the keys, and a ring where the arrow keys have come to."""
        if self._cached is None:
            self._cached = self._painted()
        painter = QPainter(self)
        painter.drawPixmap(0, 0, self._cached)
        if self.hasFocus():
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(QPen(colour(self._themes.theme[Role.LEFT_KEY]), 3))
            point = self.point_on(self._at_key)
            painter.drawEllipse(QPointF(point.x(), point.y() - 14), 11, 11)
        painter.end()

    def _painted(self) -> QPixmap:
        """The keyboard in pixels: the bare keys, which are kept, and over them what is lit and where the hands lie."""
        cached = self._bare_keys().copy()
        boxes = [self._box_of_key(midi) for midi in self._lit]
        changed = [
            QRectF(box.left, box.top, box.right - box.left, box.bottom - box.top).adjusted(-1, -1, 1, 1)
            for box in boxes
            if box is not None
        ]
        repaint(
            cached, self.picture, 1.0, self._themes.theme, [*changed, QRectF(0, 0, self.width(), BRACKET_ROOM - 1.1)]
        )
        return cached

    def _box_of_key(self, midi: int) -> Box | None:
        """Where a key is drawn, found once and kept until the keys change; None for one that is not shown."""
        if midi not in self._key_boxes:
            self._key_boxes[midi] = place_of(self.picture, Subject("key", index=midi), font_metrics())
        return self._key_boxes[midi]

    def _bare_keys(self) -> QPixmap:
        """The keys with their names and nothing lit, painted once and kept until they change."""
        ratio = self.devicePixelRatioF()
        known = (self._range, self.size(), ratio, self._themes.theme[Role.WHITE_KEY], dict(self._names))
        if self._bare is None or self._bare[0] != known:
            bare = QPixmap(round(self.width() * ratio), round(self.height() * ratio))
            bare.setDevicePixelRatio(ratio)
            bare.fill(Qt.GlobalColor.transparent)
            inside = QPainter(bare)
            picture = lay_out_keyboard(
                *self._range, self.width(), self.height(), {}, font_metrics(), self._names, brackets=()
            )
            paint(inside, picture, self._themes.theme)
            inside.end()
            self._bare = (known, bare)
            self._key_boxes = {}
        return self._bare[1]

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Sound the key."""
        if event.button() is Qt.MouseButton.LeftButton:
            self._press(self.key_at(event.position()))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Slide from key to key."""
        if event.buttons() & Qt.MouseButton.LeftButton:
            self._press(self.key_at(event.position()))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Let the key go."""
        if event.button() is Qt.MouseButton.LeftButton:
            self._press(None)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Walk along the keys with the arrow keys, sound one with Enter."""
        first, last = self._range
        if event.key() == Qt.Key.Key_Left:
            self._walk_to(max(first, self._at_key - 1))
        elif event.key() == Qt.Key.Key_Right:
            self._walk_to(min(last, self._at_key + 1))
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not event.isAutoRepeat():
            self._press(self._at_key)
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Let the key go with Enter."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not event.isAutoRepeat():
            self._press(None)
            return
        super().keyReleaseEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:  # noqa: N802 - Qt's name
        """No key stays down when the keyboard's attention goes elsewhere."""
        self._press(None)
        super().focusOutEvent(event)
        self.update()

    def focusInEvent(self, event: QFocusEvent) -> None:  # noqa: N802 - Qt's name
        """Show the ring."""
        super().focusInEvent(event)
        self.update()

    def event(self, event: QEvent) -> bool:
        """No key stays down when the window, or the mouse, goes elsewhere while it is pressed."""
        if event.type() in (QEvent.Type.WindowDeactivate, QEvent.Type.UngrabMouse, QEvent.Type.Close):
            self._press(None)
        return super().event(event)

    def hideEvent(self, event: object) -> None:  # noqa: ARG002, N802 - Qt's name
        """No key stays down when the keyboard is put away."""
        self._press(None)

    def _walk_to(self, midi: int) -> None:
        self._at_key = midi
        self.update()

    def _press(self, midi: int | None) -> None:
        if midi == self._down:
            return
        before, self._down = self._down, midi
        if before is not None:
            self.key_released.emit(before)
        if midi is not None:
            self.key_pressed.emit(midi)

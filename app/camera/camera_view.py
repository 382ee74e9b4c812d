"""The prompter: one segment of the running order at a time, its words large."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from msgspec.structs import replace
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAccessible, QAction, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QListWidgetItem, QVBoxLayout, QWidget

from app.camera.coloured_words import Stretch, coloured
from app.camera.segment_line import TIME_ROLE, SegmentList
from app.camera.words_view import WordsView
from app.document.document import LessonDocument
from app.widgets.labels import label
from app.widgets.lit_keys import keys_for
from app.widgets.picture_view import PictureView
from app.widgets.row_facts import font_metrics, row_facts
from app.widgets.selection import Place
from app.widgets.song_facts import clock
from app.widgets.themes import Themes
from core.drawing.keyboard import keyboard_range, lay_out_keyboard
from core.drawing.lesson_sheet import lay_out_row
from core.drawing.shapes import Role
from core.drawing.sheet_style import sheet_style
from core.session.asides import aside_line
from core.session.running_order import Segment, running_order, total_seconds
from core.session.timing import LessonSettings
from core.song.errors import PlanError
from core.song.note import Hand

HANDS: Final = {
    "right_hand": frozenset({Hand.RIGHT}),
    "left_hand": frozenset({Hand.LEFT}),
    "together": frozenset(Hand),
}
"""The hands of the segments that are about one part."""
ROW_WIDTHS: Final = (700.0, 1000.0, 1400.0, None)
"""Pixels at which a row may be wrapped, the one that fits its room best being shown."""
SIDE_WIDTH: Final = 330
LARGEST_SIDE: Final = 0.36
"""Share of the width that the running order takes at most, where the text is large."""
KEYBOARD_WIDTH, KEYBOARD_HEIGHT = 900, 130


class CameraView(QWidget):
    """Words, the part's row, its keys; at the right the running order."""

    spoken_role = QAccessible.Role.Document
    message = Signal(str)
    """One sentence: why there is no running order."""

    def __init__(self, document: LessonDocument, themes: Themes, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._themes = themes
        self._settings = LessonSettings()
        self._segments: tuple[Segment, ...] = ()
        self._at = 0
        self._stale = True
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(self.tr("Camera"))
        self.title = label("", self, look="quiet", size="title")
        self.words = WordsView(themes, self)
        self.row = PictureView(themes, self)
        self.keys = PictureView(themes, self)
        self.after = label("", self, look="quiet", size="title")
        self.clock = label("", self, size="number", bold=True)
        self.total = label("", self, look="quiet")
        self.list = SegmentList(self)
        self.list.setAccessibleName(self.tr("Running order"))
        self.list.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.list.currentRowChanged.connect(self._go_to)
        self._hint = label(self.tr("Space: next. Backspace: back."), self, look="quiet")
        for text in (self.title, self.after, self.total, self._hint):
            text.setWordWrap(True)
        self._lay_out()
        self._turn(self.next, Qt.Key.Key_Space, Qt.Key.Key_Right, Qt.Key.Key_PageDown)
        self._turn(self.back, Qt.Key.Key_Backspace, Qt.Key.Key_Left, Qt.Key.Key_PageUp)
        document.song_changed.connect(self._song_changed)
        themes.changed.connect(self._share_out)

    def _turn(self, does: Callable[[], None], *keys: Qt.Key) -> None:
        """Let keys turn the page, whatever here has the keyboard's attention."""
        action = QAction(self)
        action.setShortcuts([QKeySequence(key) for key in keys])
        action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        action.triggered.connect(lambda: does())
        self.addAction(action)

    def _lay_out(self) -> None:
        left = QVBoxLayout()
        left.setContentsMargins(40, 24, 40, 24)
        left.setSpacing(14)
        left.addWidget(self.title)
        left.addWidget(self.words, 5)
        left.addWidget(self.row, 4)
        left.addWidget(self.keys, 2)
        left.addWidget(self.after)
        side = QWidget(self)
        side.setObjectName("side")
        side.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._side = side
        right = QVBoxLayout(side)
        right.setContentsMargins(20, 20, 16, 16)
        right.setSpacing(4)
        right.addWidget(self.clock)
        right.addWidget(self.total)
        right.addSpacing(12)
        right.addWidget(self.list, 1)
        right.addSpacing(8)
        right.addWidget(self._hint)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(left, 1)
        whole.addWidget(side)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """The running order takes its share of the width."""
        super().resizeEvent(event)
        self._share_out()

    def _share_out(self) -> None:
        wanted = SIDE_WIDTH * self._themes.text_percent // 100
        self._side.setFixedWidth(max(SIDE_WIDTH, min(wanted, round(self.width() * LARGEST_SIDE))))

    @property
    def segment(self) -> Segment | None:
        """The segment that is shown."""
        return self._segments[self._at] if self._segments else None

    def set_lesson_settings(self, settings: LessonSettings) -> None:
        """Count the lesson's time in another way."""
        self._settings, self._stale = settings, True
        if self.isVisible():
            self.refresh()

    def refresh(self) -> None:
        """Make the running order anew if the song has changed since."""
        if not self._stale:
            return
        self._stale = False
        try:
            self._segments = running_order(self._document.song, self._settings)
        except PlanError as error:
            self._segments = ()
            self.message.emit(str(error))
        self._at = min(self._at, max(0, len(self._segments) - 1))
        self._fill_list()
        self._show_segment()

    def next(self) -> None:
        """Go on to the next segment."""
        self._go_to(min(self._at + 1, len(self._segments) - 1))

    def back(self) -> None:
        """Go back to the segment before."""
        self._go_to(max(0, self._at - 1))

    def _song_changed(self) -> None:
        self._stale = True
        if self.isVisible():
            self.refresh()

    def _go_to(self, place: int) -> None:
        if 0 <= place < len(self._segments) and place != self._at:
            self._at = place
            self._show_segment()

    def _fill_list(self) -> None:
        self.list.blockSignals(True)
        self.list.clear()
        for segment in self._segments:
            item = QListWidgetItem(segment.title)
            item.setData(TIME_ROLE, clock(segment.start))
            item.setData(Qt.ItemDataRole.AccessibleTextRole, f"{segment.title}, {clock(segment.seconds)}")
            item.setToolTip(self.tr("lasts %1").replace("%1", clock(segment.seconds)))
            self.list.addItem(item)
        self.list.blockSignals(False)

    def _show_segment(self) -> None:
        segment, song = self.segment, self._document.song
        if segment is None:
            for text in (self.title, self.after, self.clock, self.total):
                text.setText("")
            self.words.show_words(())
            self.row.show_picture(None)
            self.keys.show_picture(None)
            return
        self.title.setText(segment.title)
        naming = self._settings.way_of_naming
        said = [coloured(song, segment, paragraph, naming) for paragraph in segment.say]
        asides = [(Stretch(aside_line(song, aside), Role.QUIET),) for aside in segment.asides]
        self.words.show_words([*said, *asides])
        self.clock.setText(clock(segment.start))
        lasts = self.tr("of %1 · this lasts %2").replace("%1", clock(total_seconds(self._segments)))
        self.total.setText(lasts.replace("%2", clock(segment.seconds)))
        following = self._segments[self._at + 1].title if self._at + 1 < len(self._segments) else ""
        self.after.setText(self.tr("Then: %1").replace("%1", following) if following else self.tr("That is all."))
        self._show_pictures(segment)
        self.list.blockSignals(True)
        self.list.setCurrentRow(self._at)
        self.list.blockSignals(False)
        self.list.scrollToItem(self.list.currentItem())

    def _show_pictures(self, segment: Segment) -> None:
        song = self._document.song
        shown = segment.kind in HANDS
        self.row.setVisible(shown)
        self.keys.setVisible(shown)
        if not shown:
            return
        number = segment.parts[0]
        facts = row_facts(song, number, self._settings)
        style = sheet_style(song, font_metrics(), naming=self._settings.way_of_naming, buttons=False, labels=False)
        widths = [replace(style, wrap_width=width) for width in ROW_WIDTHS]
        self.row.show_best([lay_out_row(song, number, one, font_metrics(), analysis=facts).picture for one in widths])
        lit = keys_for(song, Place(number), HANDS[segment.kind])
        first, last = keyboard_range(frozenset(lit), 22)
        picture = lay_out_keyboard(first, last, KEYBOARD_WIDTH, KEYBOARD_HEIGHT, lit, font_metrics())
        self.keys.show_picture(picture)

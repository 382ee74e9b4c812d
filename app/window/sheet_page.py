"""Draft and Listen: one sheet and one keyboard that both share, with what belongs to each at the right and below."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QEvent, QObject, QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QScrollArea, QSizePolicy, QStackedWidget, QVBoxLayout, QWidget

from app.background.slow_work import SlowWork
from app.document.document import LessonDocument
from app.draft.desk import Desk
from app.draft.doubtful_hands import DoubtfulHands
from app.draft.draft_panel import DraftPanel
from app.draft.draft_strip import DraftStrip
from app.listen.piece import Piece
from app.listen.player import Player
from app.settings.settings_store import SettingsStore
from app.widgets.lesson_sheet import LessonSheet
from app.widgets.selection import Place, Selection, stretch_of
from app.widgets.themes import Themes
from app.widgets.viewports import lay_ground
from app.window.header import Workspace
from app.window.keyboard_band import KeyboardBand
from app.window.sheet_marks import SheetMarks
from core.drawing.keyboard import LitKey
from core.song.song import Song
from core.teaching.naming import Naming

if TYPE_CHECKING:
    from app.listen.listen_panel import ListenPanel
    from app.listen.listen_strip import ListenStrip

SIDE_SHARE: Final = 0.21
SIDE_WIDTHS: Final = (324, 400)
"""Pixels of what stands at the right, in the narrowest and in the widest window."""
LARGEST_SHARE: Final = 0.42
"""Share of the width that it takes at most where the text is large: the sheet needs room too."""
USUAL_PERCENT: Final = 100
SIDE: Final = "side"


class SheetPage(QWidget):
    """The lesson sheet with its keyboard."""

    refused = Signal(str)
    """One sentence: why something that was asked for here cannot be."""

    def __init__(
        self,
        document: LessonDocument,
        selection: Selection,
        player: Player,
        settings: SettingsStore,
        themes: Themes,
        slow_work: SlowWork,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._player = player
        self._settings = settings
        self._slow_work = slow_work
        self._themes = themes
        self._workspace = Workspace.DRAFT
        self.sheet = LessonSheet(document.song, selection, themes, self)
        self.desk = Desk(document, selection, self.sheet, self)
        self.band = KeyboardBand(document, settings, themes, self, player.along.keys)
        self.keyboard = self.band.keyboard
        self.draft_strip = DraftStrip(document, self.desk.cuts, self)
        self.doubtful = DoubtfulHands(document, slow_work, self)
        self.draft_panel = DraftPanel(document, selection, themes, self.doubtful, self)
        self.marks = SheetMarks(self.sheet, document, player.along, self.doubtful, settings, self)
        self._listen_strip: ListenStrip | None = None
        self._listen_panel: ListenPanel | None = None
        self._listen_side: QScrollArea | None = None
        self._strips = Strips(self)
        self._strips.addWidget(self.draft_strip)
        self._sides = QStackedWidget(self)
        self._draft_side = _side(self.draft_panel, self)
        self._sides.addWidget(self._draft_side)
        self._lay_out()
        themes.changed.connect(self._share_out)
        document.song_changed.connect(self._song_changed)
        selection.changed.connect(self._selection_changed)
        player.playing_changed.connect(self._playing_changed)
        player.position_changed.connect(self._position_changed)
        player.keys_changed.connect(self._keys_changed)
        player.along.keys_changed.connect(self.band.show_played)
        self.sheet.play_wanted.connect(self._play)
        self.sheet.unrefused.connect(self.desk.settled)
        self.keyboard.key_pressed.connect(player.press_key)
        self.keyboard.key_released.connect(player.release_key)
        self.desk.heard.connect(player.try_key)
        self.draft_panel.moment_wanted.connect(self.sheet.show_moment)
        self.draft_panel.set_naming(Naming(settings.settings.naming))
        settings.changed.connect(lambda _before, after: self.draft_panel.set_naming(Naming(after.naming)))
        self._show_part()

    @property
    def listen_strip(self) -> ListenStrip:
        """The line of choices under the sheet in Listen; made when it is first wanted."""
        if self._listen_strip is None:
            from app.listen.listen_strip import ListenStrip

            self._listen_strip = ListenStrip(self._settings, self)
            self._strips.addWidget(self._listen_strip)
        return self._listen_strip

    @property
    def listen_panel(self) -> ListenPanel:
        """What stands at the right in Listen; made when it is first wanted."""
        if self._listen_panel is None:
            from app.listen.listen_panel import ListenPanel

            panel = ListenPanel(self._document, self._settings, self._slow_work, self._themes, self)
            panel.practice.tell(self._player.along.told)
            self._player.along.told_changed.connect(lambda: panel.practice.tell(self._player.along.told))
            panel.practice.row_wanted.connect(lambda words: self._player.toggle(Piece("row", 0, words)))
            panel.embellish.trial_changed.connect(self._player.try_song)
            panel.embellish.hear_wanted.connect(lambda number: self._player.play(Piece("part", number)))
            panel.embellish.refused.connect(self.refused)
            self._listen_panel = panel
            self._listen_side = _side(panel, self)
            self._sides.addWidget(self._listen_side)
        return self._listen_panel

    def _side_of(self, workspace: Workspace) -> QScrollArea:
        """The scrolled room at the right that belongs to a workspace."""
        if workspace is Workspace.LISTEN and self.listen_panel is not None and self._listen_side is not None:
            return self._listen_side
        return self._draft_side

    def close_panels(self) -> None:
        """Let go of what a panel keeps from being closed."""
        if self._listen_panel is not None:
            self._listen_panel.close_panel()

    def _lay_out(self) -> None:
        left = QVBoxLayout()
        left.setContentsMargins(0, 0, 0, 0)
        left.setSpacing(0)
        left.addWidget(self.sheet, 1)
        left.addWidget(_beneath(self._strips, self))
        above = QHBoxLayout()
        above.setContentsMargins(0, 0, 0, 0)
        above.setSpacing(0)
        above.addLayout(left, 1)
        above.addWidget(self._sides)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(above, 1)
        whole.addWidget(self.band)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """The keyboard takes its share of the height, what stands at the right its share of the width."""
        super().resizeEvent(event)
        self._share_out()

    def _share_out(self) -> None:
        percent = self._themes.text_percent
        narrow, wide = (width * percent // 100 for width in SIDE_WIDTHS)
        most = round(self.width() * LARGEST_SHARE) if percent > USUAL_PERCENT else wide
        width = min(max(narrow, round(self.width() * SIDE_SHARE)), wide, most)
        self._sides.setFixedWidth(width)
        policy = Qt.ScrollBarPolicy.ScrollBarAlwaysOff
        if percent > USUAL_PERCENT:
            policy = Qt.ScrollBarPolicy.ScrollBarAsNeeded
        for side in self._sides.findChildren(QScrollArea, SIDE):
            side.setHorizontalScrollBarPolicy(policy)
        self.band.fit(self.height())

    def show_workspace(self, workspace: Workspace) -> None:
        """Show what belongs to Draft or to Listen."""
        self._workspace = workspace
        if self._listen_panel is not None and self._listen_panel.embellish.trial is not None:
            self._listen_panel.embellish.leave_trial()  # what nobody tried needs not be measured anew
        listens = workspace is Workspace.LISTEN
        shown = self.listen_strip if listens else self.draft_strip
        for strip in (self.draft_strip, self._listen_strip):  # what is not shown asks for no room
            if strip is not None:
                asks = QSizePolicy.Policy.Preferred if strip is shown else QSizePolicy.Policy.Ignored
                strip.setSizePolicy(asks, QSizePolicy.Policy.Preferred)
        self._strips.setCurrentWidget(shown)
        self._sides.setCurrentWidget(self._side_of(workspace))
        self._share_out()
        self._show_part()

    def play_selected(self) -> None:
        """Play the selected part, or the selected notes where there are several; or stop."""
        if self._player.piece is not None:
            self._player.stop()
        elif self._selection.several:
            self._player.play(Piece("stretch", 0, "", *stretch_of(self._selection.several, self._document.song)))
        else:
            place = self._selection.place
            onset = place.onset(self._document.song) if self._workspace is Workspace.LISTEN else None
            self._player.play(Piece("part", place.part), onset or 0)

    def play_through_selected(self) -> None:
        """Play parts 1 to the selected one, or stop if just that plays."""
        self._player.toggle(Piece("through", self._selection.place.part))

    def play_song(self) -> None:
        """Play the whole song, or stop if just that plays."""
        self._player.toggle(Piece("song"))

    def _play(self, kind: str, number: int) -> None:
        self._player.toggle(Piece("part" if kind == "play-part" else "through", number))

    def _show_part(self) -> None:
        number = min(self._selection.place.part, len(self._document.song.parts))
        if self._workspace is Workspace.DRAFT:
            self.draft_strip.show_part(number)
            self.draft_panel.show_part(number)
        else:
            self.listen_panel.show_part(number)
        if self._player.piece is None:
            self.band.show_place(self._selection.place)

    def _song_changed(self, before: Song, after: Song) -> None:
        self.sheet.show_song(after)
        self.desk.keep_place(before, after)
        self.band.show_song()
        self._show_part()

    def _selection_changed(self, before: Place, after: Place) -> None:  # noqa: ARG002 - shown anew either way
        self._show_part()
        onset = after.onset(self._document.song)
        if self._workspace is Workspace.LISTEN and onset is not None:
            self._player.go_to(after.part, onset)

    def _playing_changed(self, piece: Piece | None) -> None:
        self.sheet.show_playing(piece.subject if piece else None)

    def _position_changed(self, part: int, tick: int) -> None:
        self.sheet.show_position(part, tick)
        if part and self._player.piece is not None:
            self.band.show_moment(part, tick)

    def _keys_changed(self, keys: dict[int, LitKey] | None) -> None:
        if keys is None:
            self.band.show_place(self._selection.place)
        else:
            self.band.show_sounding(keys)


def _beneath(strips: QStackedWidget, parent: QWidget) -> QScrollArea:
    """A band as high as what it holds, which can be moved sideways where there is no room for all of it."""
    band = Band(parent)
    lay_ground(band, filled=False)
    band.setWidget(strips)
    band.setWidgetResizable(True)
    band.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    band.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    band.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
    strips.setAutoFillBackground(False)
    strips.currentChanged.connect(band.updateGeometry)
    return band


class Strips(QStackedWidget):
    """Strips of which one is shown, and that asks for no more room than the one."""

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """That of the strip that is shown."""
        shown = self.currentWidget()
        return shown.sizeHint() if shown is not None else QSize(0, 0)

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """That of the strip that is shown."""
        shown = self.currentWidget()
        return shown.minimumSizeHint() if shown is not None else QSize(0, 0)

    def heightForWidth(self, width: int) -> int:  # noqa: N802 - Qt's name
        """That of the strip that is shown."""
        shown = self.currentWidget()
        if shown is None:
            return 0
        return shown.heightForWidth(width) if shown.hasHeightForWidth() else shown.sizeHint().height()


class Band(QScrollArea):
    """A scrolled band that is as high as its content, and its scroll bar where there is one."""

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """As high as the content that is shown; a stack itself would ask for room for its hidden pages too."""
        stack = self.widget()
        content = stack.currentWidget() if isinstance(stack, QStackedWidget) else stack
        if content is None:
            return QSize(0, 0)
        needed = content.minimumSizeHint().width()
        height = content.heightForWidth(max(needed, self.width())) if content.hasHeightForWidth() else -1
        if height < 0:
            height = content.sizeHint().height()
        lacking = needed > self.width()
        return QSize(0, height + (self.horizontalScrollBar().sizeHint().height() if lacking else 0))

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """No width is too small."""
        return QSize(0, self.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """The scroll bar comes and goes with the width."""
        super().resizeEvent(event)
        self.updateGeometry()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 - Qt's name
        """Be as high as the content, whenever that changes."""
        if event.type() is QEvent.Type.LayoutRequest:
            self.updateGeometry()
        return super().eventFilter(watched, event)


def _side(panel: QWidget, parent: QWidget) -> QScrollArea:
    side = QScrollArea(parent)
    lay_ground(side, filled=False)
    side.setWidget(panel)
    side.setObjectName(SIDE)
    side.setWidgetResizable(True)
    side.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    panel.setAutoFillBackground(False)
    return side

"""The window's head: the song's name and facts at the left, the four workspaces at the right."""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum
from time import perf_counter
from typing import Final

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QLabel, QSizePolicy, QStackedLayout, QWidget

from app.document.document import LessonDocument
from app.widgets.button import Button
from app.widgets.labels import label, size_text
from app.widgets.song_facts import facts_line
from app.widgets.text_editors import LineField
from core.edits.set_facts import set_title
from core.session.analysis import analyse_part
from core.session.timing import LessonSettings

SETTLED_MILLISECONDS: Final = 150
"""The facts of the whole song follow a change once no other has followed it for so long, as within a word typed."""
SLICE_SECONDS: Final = 0.005
"""How long the window is kept busy with them at a stretch: a part of a display frame."""


class Workspace(Enum):
    """The four workspaces, in the order of the work."""

    SONGS = "songs"
    DRAFT = "draft"
    LISTEN = "listen"
    CAMERA = "camera"


class Shortened(QLabel):
    """A line of text that gives way to its neighbours, cut with an ellipsis where there is no room."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._whole = ""
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)

    @property
    def whole(self) -> str:
        """The whole text, however much of it is shown."""
        return self._whole

    def show_text(self, text: str) -> None:
        """Show another text."""
        self._whole = text
        self.setAccessibleName(text)
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Show as much as there is room for."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        shown = self.fontMetrics().elidedText(self._whole, Qt.TextElideMode.ElideRight, self.width())
        if shown != self.text():
            self.setText(shown)
        self.setToolTip(self._whole if shown != self._whole else "")


class SongName(QWidget):
    """The song's name; pressing it lets it be typed anew."""

    def __init__(self, document: LessonDocument, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self.button = Button("", self, look="plain", does=self._begin)
        size_text(self.button, "title", bold=True)
        self.button.setToolTip(self.tr("Press to change the title"))
        self.field = LineField(self)
        size_text(self.field, "title", bold=True)
        self.field.setAccessibleName(self.tr("Title of the song"))
        self.field.returnPressed.connect(self._take)
        self.field.left.connect(self._end)
        self.field.cancelled.connect(self._end)
        self._stack = QStackedLayout(self)
        self._stack.setContentsMargins(0, 0, 0, 0)
        self._stack.addWidget(self.button)
        self._stack.addWidget(self.field)
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.show_title()

    def show_title(self) -> None:
        """Show the title that the lesson has now."""
        title = self._document.song.title
        metrics = self.button.fontMetrics()
        self.button.setText(metrics.elidedText(title, Qt.TextElideMode.ElideRight, 340))
        self.button.setAccessibleName(self.tr("Title: %1; press to change it").replace("%1", title))
        self.setFixedWidth(min(340, metrics.horizontalAdvance(title)) + 16)

    def _begin(self) -> None:
        self.setFixedWidth(max(240, self.width()))
        self.field.setText(self._document.song.title)
        self._stack.setCurrentWidget(self.field)
        self.field.selectAll()
        self.field.setFocus()

    def _take(self) -> None:
        title = self.field.text()
        if self._document.apply(lambda song: set_title(song, title), self.tr("title")):
            self._end()

    def _end(self) -> None:
        if self._stack.currentWidget() is self.field:
            self._stack.setCurrentWidget(self.button)
            self.show_title()


class Header(QWidget):
    """Song at the left, workspaces at the right."""

    chosen = Signal(object)
    """The workspace that was pressed."""

    def __init__(
        self, document: LessonDocument, settings: Callable[[], LessonSettings], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setObjectName("header")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._document = document
        self._settings = settings
        self.name = SongName(document, self)
        self.facts = Shortened(self)
        self.facts.setProperty("look", "quiet")
        self.state = label("", self, look="quiet")
        layout = QHBoxLayout(self)
        layout.setContentsMargins(16, 0, 12, 0)
        layout.setSpacing(16)
        layout.addWidget(self.name)
        layout.addWidget(self.facts, 1)
        layout.addWidget(self.state)
        layout.addSpacing(12)
        self.buttons: dict[Workspace, Button] = {}
        group = QButtonGroup(self)
        titles = {
            Workspace.SONGS: self.tr("Songs"),
            Workspace.DRAFT: self.tr("Draft"),
            Workspace.LISTEN: self.tr("Listen"),
            Workspace.CAMERA: self.tr("Camera"),
        }
        workspaces = QHBoxLayout()
        workspaces.setSpacing(0)
        for workspace, title in titles.items():
            button = Button(title, self, look="workspace")
            button.clicked.connect(lambda _=False, workspace=workspace: self.chosen.emit(workspace))
            button.setCheckable(True)
            group.addButton(button)
            workspaces.addWidget(button)
            self.buttons[workspace] = button
        layout.addLayout(workspaces)
        self._next_part = 0
        self._later = QTimer(self)
        self._later.timeout.connect(self._look_at_next_parts)
        document.song_changed.connect(self._song_changed)
        document.path_changed.connect(self._show_state)
        document.clean_changed.connect(self._show_state)
        self._show_state()

    def show_workspace(self, workspace: Workspace) -> None:
        """Mark the workspace that is shown."""
        self.buttons[workspace].setChecked(True)

    @property
    def is_waiting(self) -> bool:
        """Whether the facts shown may be older than the song."""
        return self._later.isActive()

    def refresh(self, after: int = 0) -> None:
        """Show the facts anew, once the events that wait have been dealt with.

        How long the lesson is needs every part looked at; that is done a few at a time, so that nothing has to wait.

        Args:
            after: milliseconds to wait first, anew with every call.
        """
        self._next_part = 1
        self._later.start(after)

    def _look_at_next_parts(self) -> None:
        song, began = self._document.song, perf_counter()
        while self._next_part <= len(song.parts):
            if perf_counter() - began > SLICE_SECONDS:
                self._later.start(0)
                return
            analyse_part(song, self._next_part)
            self._next_part += 1
        self._later.stop()
        self._show_facts()

    def _song_changed(self) -> None:
        self.name.show_title()
        self.refresh(SETTLED_MILLISECONDS)

    def _show_facts(self) -> None:
        self.facts.show_text(facts_line(self._document.song, self._settings()))

    def _show_state(self) -> None:
        if not self._document.is_clean:
            text = self.tr("changed, not saved")
        elif self._document.path is None:
            text = self.tr("a copy, not saved yet")
        else:
            text = self.tr("saved")
        self.state.setText(text)
        self.state.setAccessibleName(text)

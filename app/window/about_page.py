"""The page on which facts about the open lesson are kept; every change counts at once and can be undone."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from app.document.document import LessonDocument
from app.songs.about_form import AboutForm
from app.widgets.button import Button
from app.widgets.form_page import FormPage
from app.widgets.text_editors import LineField
from core.song.song import Song
from core.song.standing import PUBLISHED


class AboutPage(FormPage):
    """Title, composer, state, who asked, rights."""

    def __init__(self, document: LessonDocument, leave: Callable[[], object], parent: QWidget | None = None) -> None:
        super().__init__(leave, parent)
        self._document = document
        self.form = AboutForm(self)
        for line in (self.form.title, self.form.composer, self.form.asked_by, self.form.asked_on, self.form.rights):
            line.editingFinished.connect(self._apply)
            line.cancelled.connect(partial(self._give_up, line))
        self.form.state.activated.connect(self._apply)
        self.form.cleared.clicked.connect(self._apply)
        self.back = Button(self.tr("Back to work"), self, does=leave)
        document.song_changed.connect(self._show)
        self.fill(self.tr("About this lesson"), (self.form,), (self.back,))

    def start(self) -> None:
        """Show the lesson as it is."""
        self._show()
        self.form.title.setFocus(Qt.FocusReason.OtherFocusReason)

    def _apply(self) -> None:
        if not self.isVisible():
            return
        before = self._document.song.standing
        if not self._document.apply(self.form.on_song, self.tr("facts about the lesson")):
            self._show()
            return
        after = self._document.song.standing
        if after.state == PUBLISHED and not after.rights_cleared and before.state != PUBLISHED:
            reminder = self.tr("Before “%1” is published or sold, clear its rights, and say here that they are.")
            self._document.message.emit(reminder.replace("%1", self._document.song.title))

    def _give_up(self, line: LineField) -> None:
        """Let a field be as it was; leave the page where nothing was typed into it."""
        typed = line.isModified()
        self._show()
        if not typed:
            self._leave()

    def _show(self, *_: Song) -> None:
        self.form.show_song(self._document.song)

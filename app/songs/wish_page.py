"""A song that somebody asked for is noted before a note of it exists."""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace
from PySide6.QtCore import QDate, Qt
from PySide6.QtWidgets import QWidget

from app.songs.about_form import AboutForm
from app.songs.empty_lesson import new_lesson
from app.songs.known_lessons import taught_before
from app.songs.song_entry import SongEntry
from app.songs.song_table import state_name
from app.widgets.button import Button
from app.widgets.form_page import FormPage
from app.widgets.labels import label
from core.song.errors import EditError
from core.song.song import Song
from core.song.standing import WANTED, Standing


class WishPage(FormPage):
    """The page for a wanted song."""

    def __init__(
        self,
        note: Callable[[Song], object],
        leave: Callable[[], object],
        known: Callable[[str], tuple[SongEntry, ...]],
        parent: QWidget | None = None,
    ) -> None:
        """`note` keeps the wish; `known` finds the lessons of a song that there are already, by its title."""
        super().__init__(leave, parent)
        self._note = note
        self._known = known
        self.form = AboutForm(self)
        self.trouble = label("", self, look="warning")
        self.trouble.setWordWrap(True)
        self.form.title.editingFinished.connect(self._look_for_others)
        for line in (self.form.title, self.form.composer, self.form.asked_by, self.form.asked_on, self.form.rights):
            line.returnPressed.connect(self._keep)
            line.cancelled.connect(leave)
        self.keep = Button(self.tr("Note it"), self, name=self.tr("Note the wanted song"), does=self._keep)
        self.back = Button(self.tr("Back to work"), self, does=leave)
        self.fill(self.tr("Wanted song"), (self.form, self.trouble), (self.keep, self.back))

    def start(self) -> None:
        """Begin with an empty title, asked for today."""
        empty = replace(new_lesson(), standing=Standing(WANTED, asked_on=QDate.currentDate().toString("yyyy-MM-dd")))
        self.form.show_song(empty)
        self.form.title.clear()
        self.trouble.clear()
        self.form.title.setFocus(Qt.FocusReason.OtherFocusReason)

    def _keep(self) -> None:
        try:
            song = self.form.on_song(new_lesson())
        except EditError as error:
            self.trouble.setText(str(error))
            return
        self._note(song)

    def _look_for_others(self) -> None:
        """Say before the wish is noted that the song was taught, or wished for, already."""
        title = self.form.title.text().strip()
        others = self._known(title) if title else ()
        sentence = taught_before(others)
        if others and not sentence:
            there = self.tr("There is a lesson of “%1” already, %2.")
            sentence = there.replace("%1", others[0].title).replace("%2", state_name(others[0].state))
        self.trouble.setText(sentence)

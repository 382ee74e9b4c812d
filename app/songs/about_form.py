"""The fields for what a lesson's owner keeps about it besides the music."""

from __future__ import annotations

from PySide6.QtCore import QDate
from PySide6.QtWidgets import QCheckBox, QComboBox, QFormLayout, QHBoxLayout, QWidget

from app.songs.song_table import state_name
from app.widgets.labels import label
from app.widgets.text_editors import LineField
from core.edits.set_facts import set_composer, set_title
from core.edits.set_standing import set_asked, set_rights, set_state
from core.song.song import Song
from core.song.standing import STATES


class AboutForm(QWidget):
    """Title, composer, state, who asked and when, and rights."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.title = self._line(self.tr("Title of the song"))
        self.composer = self._line(self.tr("Composer"))
        self.asked_by = self._line(self.tr("Who asked for it"))
        self.asked_on = self._line(self.tr("Day it was asked for, such as 2026-11-25"))
        self.asked_on.setPlaceholderText(QDate.currentDate().toString("yyyy-MM-dd"))
        self.rights = self._line(self.tr("Note of rights"))
        self.rights.setPlaceholderText(self.tr("whose song it is, and what was agreed"))
        self.cleared = QCheckBox(self.tr("may be sold and published"), self)
        self.state = QComboBox(self)
        self.state.setAccessibleName(self.tr("State"))
        for state in STATES:
            self.state.addItem(state_name(state), state)
        beside_state = QHBoxLayout()
        beside_state.addWidget(self.state)
        beside_state.addStretch()
        form = QFormLayout(self)
        form.setContentsMargins(0, 0, 0, 0)
        form.setHorizontalSpacing(20)
        form.setVerticalSpacing(10)
        form.addRow(label(self.tr("Title"), self), self.title)
        form.addRow(label(self.tr("Composer"), self), self.composer)
        form.addRow(label(self.tr("State"), self), beside_state)
        form.addRow(label(self.tr("Asked by"), self), self.asked_by)
        form.addRow(label(self.tr("Asked on"), self), self.asked_on)
        form.addRow(label(self.tr("Rights"), self), self.rights)
        form.addRow(label("", self), self.cleared)

    def show_song(self, song: Song) -> None:
        """Fill the fields from a song."""
        self.title.setText(song.title)
        self.composer.setText(song.composer)
        self.state.setCurrentIndex(self.state.findData(song.standing.state))
        self.asked_by.setText(song.standing.asked_by)
        self.asked_on.setText(song.standing.asked_on)
        self.rights.setText(song.rights)
        self.cleared.setChecked(song.standing.rights_cleared)

    def on_song(self, song: Song) -> Song:
        """The song with what the fields say; raises EditError for a blank title or a day that does not exist."""
        song = set_composer(set_title(song, self.title.text()), self.composer.text())
        song = set_state(song, self.state.currentData())
        song = set_asked(song, self.asked_by.text(), self.asked_on.text())
        return set_rights(song, self.rights.text(), self.cleared.isChecked())

    def _line(self, name: str) -> LineField:
        line = LineField(self)
        line.setAccessibleName(name)
        return line

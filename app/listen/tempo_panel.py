"""How fast the song goes, and how fast the selected part is taught."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QSpinBox, QWidget

from app.document.document import LessonDocument
from app.widgets.button import Button
from app.widgets.labels import label
from app.widgets.number_fields import indent_number, name_number
from core.edits.set_facts import set_tempo
from core.edits.set_teaching import set_teaching_tempo
from core.session.timing import teaching_tempo

SLOWEST: Final = 20
FASTEST: Final = 300


class TempoPanel(QWidget):
    """Two tempos in quarter notes a minute; the part's goes back to the computed one."""

    def __init__(self, document: LessonDocument, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._number = 1
        self._showing = False
        self.song = self._field(self.tr("Tempo of the song in quarter notes a minute"))
        self.part = self._field(self.tr("Teaching tempo of the part in quarter notes a minute"))
        self.song.valueChanged.connect(self._set_song)
        self.part.valueChanged.connect(self._set_part)
        self.back = Button(self.tr("as computed"), self, look="link", does=lambda: self._teach_at(None))
        self.back.setAccessibleName(self.tr("Teaching tempo as computed"))
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(6)
        grid.addWidget(label(self.tr("Tempo"), self, look="heading"), 0, 0, 1, 3)
        grid.addWidget(label(self.tr("The song"), self, look="quiet"), 1, 0)
        grid.addWidget(self.song, 1, 1)
        grid.addWidget(label(self.tr("Taught at"), self, look="quiet"), 2, 0)
        grid.addWidget(self.part, 2, 1)
        grid.addWidget(self.back, 2, 2)
        grid.setColumnStretch(2, 1)

    def show_part(self, number: int) -> None:
        """Show what belongs to a part."""
        self._number = number
        song = self._document.song
        own = song.parts[number - 1].teaching.tempo
        self._showing = True
        self.song.setValue(round(song.tempo))
        self.part.setValue(round(teaching_tempo(song, number) if own is None else own))
        self._showing = False
        self.back.setVisible(own is not None)

    def _set_song(self, bpm: int) -> None:
        if not self._showing:
            self._document.apply(lambda song: set_tempo(song, bpm), self.tr("tempo"), "tempo of the song")

    def _set_part(self, bpm: int) -> None:
        if not self._showing:
            self._teach_at(bpm)

    def _teach_at(self, bpm: float | None) -> None:
        number = self._number
        self._document.apply(
            lambda song: set_teaching_tempo(song, number, bpm), self.tr("teaching tempo"), f"tempo of part {number}"
        )

    def _field(self, name: str) -> QSpinBox:
        field = QSpinBox(self)
        indent_number(field)
        field.setRange(SLOWEST, FASTEST)
        field.setSuffix(self.tr(" bpm"))
        name_number(field, name)
        field.setKeyboardTracking(False)
        field.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        field.editingFinished.connect(self._document.end_typing)
        return field

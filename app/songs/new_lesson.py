"""A new lesson: its title, key, metre, tempo and length are chosen, its bars are empty."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QFormLayout, QHBoxLayout, QSpinBox, QWidget

from app.songs.empty_lesson import USUAL_BARS, USUAL_TEMPO, new_lesson
from app.widgets.button import Button
from app.widgets.form_page import FormPage
from app.widgets.labels import label
from app.widgets.number_fields import indent_number, name_number
from app.widgets.text_editors import LineField
from core.song.key import Key, Mode
from core.song.metre import Metre
from core.song.pitch import NoteName
from core.song.song import Song

MOST_BARS: Final = 200
METRES: Final = ("4/4", "3/4", "2/4", "6/8", "9/8", "12/8", "5/4", "2/2")
TONICS: Final = ("C", "Db", "C#", "D", "Eb", "E", "F", "Gb", "F#", "G", "Ab", "G#", "A", "Bb", "B")
MODES: Final = tuple(mode for mode in Mode if mode is not Mode.LOCRIAN)
WRITABLE_FIFTHS: Final = 7


def writable_keys(mode: Mode) -> tuple[Key, ...]:
    """The keys of a mode that have at most seven sharps or flats."""
    keys = (Key(NoteName.parse(tonic), mode) for tonic in TONICS)
    return tuple(key for key in keys if abs(key.fifths) <= WRITABLE_FIFTHS)


class NewLessonPage(FormPage):
    """The page on which a new lesson is begun."""

    def __init__(
        self, begin: Callable[[Song], object], leave: Callable[[], object], parent: QWidget | None = None
    ) -> None:
        super().__init__(leave, parent)
        self._begin = begin
        self.title = LineField(self)
        self.title.setAccessibleName(self.tr("Title of the song"))
        self.title.setPlaceholderText(self.tr("Untitled"))
        self.title.returnPressed.connect(self._create)
        self.title.cancelled.connect(leave)
        self.tonic, self.mode, self.metre = (
            self._choice(name) for name in (self.tr("Tonic"), self.tr("Mode"), self.tr("Metre"))
        )
        for mode in MODES:
            self.mode.addItem(mode.said, mode)
        self.mode.currentIndexChanged.connect(self._fill_tonics)
        self._fill_tonics()
        self.metre.addItems(METRES)
        self.tempo = self._number(self.tr("Tempo in quarter notes a minute"), 30, 240, USUAL_TEMPO)
        self.bars = self._number(self.tr("Number of bars"), 1, MOST_BARS, USUAL_BARS)
        self.begin = Button(self.tr("Begin"), self, name=self.tr("Begin the new lesson"), does=self._create)
        self.cancel = Button(self.tr("Back to work"), self, does=leave)
        self._lay_out()

    def _lay_out(self) -> None:
        key = QHBoxLayout()
        key.addWidget(self.tonic)
        key.addWidget(self.mode)
        key.addStretch()
        form = QFormLayout()
        form.setHorizontalSpacing(20)
        form.setVerticalSpacing(10)
        form.addRow(label(self.tr("Title"), self), self.title)
        form.addRow(label(self.tr("Key"), self), key)
        form.addRow(label(self.tr("Metre"), self), self._at_its_width(self.metre))
        form.addRow(label(self.tr("Tempo"), self), self._at_its_width(self.tempo))
        form.addRow(label(self.tr("Bars"), self), self._at_its_width(self.bars))
        fields = QWidget(self)
        fields.setLayout(form)
        form.setContentsMargins(0, 0, 0, 0)
        self.fill(self.tr("New lesson"), (fields,), (self.begin, self.cancel))

    def start(self) -> None:
        """Begin with an empty title."""
        self.title.clear()
        self.title.setFocus(Qt.FocusReason.OtherFocusReason)

    def song(self) -> Song:
        """The song that the choices describe."""
        key: Key = self.tonic.currentData()
        metre = Metre.parse(self.metre.currentText())
        return new_lesson(self.title.text(), key, metre, self.tempo.value(), self.bars.value())

    def _create(self) -> None:
        self._begin(self.song())

    def _fill_tonics(self) -> None:
        """Only tonics that can be written in the chosen mode; the one chosen stays where it can."""
        chosen = self.tonic.currentText() or NoteName("C").symbol
        self.tonic.clear()
        for key in writable_keys(self.mode.currentData()):
            self.tonic.addItem(key.tonic.symbol, key)
        self.tonic.setCurrentIndex(max(0, self.tonic.findText(chosen)))

    def _choice(self, name: str) -> QComboBox:
        choice = QComboBox(self)
        choice.setAccessibleName(name)
        return choice

    def _number(self, name: str, least: int, most: int, usual: int) -> QSpinBox:
        number = QSpinBox(self)
        indent_number(number)
        number.setRange(least, most)
        number.setValue(usual)
        number.setMinimumWidth(80)
        name_number(number, name)
        return number

    def _at_its_width(self, widget: QWidget) -> QHBoxLayout:
        row = QHBoxLayout()
        row.addWidget(widget)
        row.addStretch()
        return row

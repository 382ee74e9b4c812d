"""The page of everything that playing is heard through: several outputs at once, each hand's channel and sound."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Final

from msgspec.structs import replace
from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtWidgets import QCheckBox, QFileDialog, QGridLayout, QHBoxLayout, QSpinBox, QVBoxLayout, QWidget

from app.settings.settings_store import SettingsStore
from app.widgets.button import Button
from app.widgets.file_dialog import file_dialog
from app.widgets.form_page import FormPage
from app.widgets.labels import label
from app.widgets.number_fields import name_number, whole_number_field
from core.performance.output import CHANNELS, MOST_MILLISECONDS, NOTHING, PIANO, PROGRAMS, Output
from core.song.errors import DomainError
from core.song.note import Hand

INDENT: Final = 26
"""Pixels by which what belongs to an output stands under its name."""


class OutputCard(QWidget):
    """One output: whether it is heard, and how it is played through."""

    used = Signal(bool)
    """Whether it is to be heard."""
    wanted = Signal(object)
    """What makes the way in which it is to be played through; it raises DomainError where that cannot be."""

    def __init__(self, name: str, title: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.name = name
        self._way = Output(name)
        self.heard = QCheckBox(title, self)
        self.heard.toggled.connect(self.used)
        self.channels: dict[Hand, QSpinBox] = {}
        self.programs: dict[Hand, QSpinBox] = {}
        self.details = QWidget(self)
        grid = QGridLayout(self.details)
        grid.setContentsMargins(INDENT, 2, 0, 6)
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(4)
        if name != PIANO:
            self._add_hands(grid, title)
        self.latency = whole_number_field(
            self.tr("%1: milliseconds by which it sounds late").replace("%1", title),
            self,
            unit=self.tr(" ms"),
            step=5,
            most=MOST_MILLISECONDS,
        )
        self.latency.setMinimum(-MOST_MILLISECONDS)
        self.latency.setToolTip(self.tr("What sounds late is told sooner, so that all outputs sound together"))
        self.latency.valueChanged.connect(lambda value: self.wanted.emit(lambda: replace(self._way, latency=value)))
        row = grid.rowCount()
        grid.addWidget(label(self.tr("sounds late by"), self, look="quiet"), row, 0)
        grid.addWidget(self.latency, row, 2)
        grid.setColumnStretch(5, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(2)
        layout.addWidget(self.heard)
        layout.addWidget(self.details)

    def _add_hands(self, grid: QGridLayout, title: str) -> None:
        words = {Hand.RIGHT: self.tr("right hand"), Hand.LEFT: self.tr("left hand")}
        for row, (hand, word) in enumerate(words.items()):
            channel = whole_number_field(
                self.tr("%1: channel of the %2").replace("%1", title).replace("%2", word), self, most=CHANNELS
            )
            channel.setMinimum(1)
            program = whole_number_field("", self, most=PROGRAMS)
            program.setSpecialValueText(self.tr("as it is"))
            name_number(program, self.tr("%1: sound of the %2").replace("%1", title).replace("%2", word))
            program.setToolTip(self.tr("The sound's number on the instrument; it is sent when playing begins"))
            channel.valueChanged.connect(partial(self._set_hand, hand, "channel"))
            program.valueChanged.connect(partial(self._set_hand, hand, "program"))
            grid.addWidget(label(word, self, look=hand.value), row, 0)
            grid.addWidget(label(self.tr("channel"), self, look="quiet"), row, 1)
            grid.addWidget(channel, row, 2)
            grid.addWidget(label(self.tr("sound"), self, look="quiet"), row, 3)
            grid.addWidget(program, row, 4)
            self.channels[hand], self.programs[hand] = channel, program

    def show_way(self, way: Output, *, used: bool) -> None:
        """Show how it is played through; what is not heard has no more to say."""
        self._way = way
        numbers = [(self.latency, way.latency)]
        for hand in self.channels:
            numbers += [(self.channels[hand], way.hand(hand).channel), (self.programs[hand], way.hand(hand).program)]
        for field, value in numbers:
            with QSignalBlocker(field):
                field.setValue(value)
        with QSignalBlocker(self.heard):
            self.heard.setChecked(used)
        self.details.setVisible(used)

    def _set_hand(self, hand: Hand, what: str, value: int) -> None:
        def changed() -> Output:
            sent = replace(self._way.hand(hand), **{what: value})
            return replace(self._way, **{hand.value: sent})

        self.wanted.emit(changed)


class OutputsPage(FormPage):
    """Every change counts at once."""

    refused = Signal(str)
    """One sentence: why something cannot be."""

    def __init__(self, store: SettingsStore, leave: Callable[[], object], parent: QWidget | None = None) -> None:
        super().__init__(leave, parent)
        self._store = store
        self.cards: dict[str, OutputCard] = {}
        told = self.tr("All that are chosen are heard at once.")
        self._told = label(told, self, look="quiet")
        self._told.setWordWrap(True)
        self._list = QWidget(self)
        self._rows = QVBoxLayout(self._list)
        self._rows.setContentsMargins(0, 0, 0, 0)
        self._rows.setSpacing(10)
        font = QWidget(self)
        row = QHBoxLayout(font)
        row.setContentsMargins(INDENT, 0, 0, 0)
        self.font_name = label("", self, look="quiet")
        self.choose_font = Button(self.tr("SoundFont…"), self, does=self._choose_font)
        self.choose_font.setAccessibleName(self.tr("Choose a SoundFont to be heard in the piano's place"))
        self.no_font = Button(self.tr("Piano again"), self, does=lambda: self._change(sound_font=""))
        for widget in (self.font_name, self.choose_font, self.no_font):
            row.addWidget(widget)
        row.addStretch()
        self._font = font
        self.back = Button(self.tr("Back to work"), self, does=leave)
        self.fill(self.tr("Heard through"), (self._told, self._list), (self.back,))
        store.changed.connect(self._show)

    def start(self, ports: Sequence[str]) -> None:
        """Show the outputs there are, with the first one in focus."""
        self.show_ports(ports)
        self.cards[PIANO].heard.setFocus(Qt.FocusReason.OtherFocusReason)

    def show_ports(self, ports: Sequence[str]) -> None:
        """Show the outputs there are now, with those that were chosen and are not there."""
        settings = self._store.settings
        chosen = [name for name in (settings.output, *settings.also) if name not in (PIANO, NOTHING)]
        names = dict.fromkeys((PIANO, *ports, *chosen))
        for card in self.cards.values():
            card.hide()
            card.deleteLater()
        self.cards = {}
        for name in names:
            title = name
            if name == PIANO:
                title = self.tr("Built-in piano")
            elif name not in ports:
                title = self.tr("%1 (not there now)").replace("%1", name)
            card = OutputCard(name, title, self._list)
            card.used.connect(lambda used, name=name: self._use(name, used))
            card.wanted.connect(self._take)
            self.cards[name] = card
            self._rows.addWidget(card)
            if name == PIANO:
                self._rows.addWidget(self._font)
        self._show()

    def _show(self, *_: object) -> None:
        settings = self._store.settings
        used = {output.name for output in settings.outputs}
        for name, card in self.cards.items():
            card.show_way(settings.way(name), used=name in used)
        path = settings.sound_font
        self._font.setVisible(PIANO in used)
        self.font_name.setText(Path(path).name if path else self.tr("its own sound"))
        self.font_name.setToolTip(path)
        self.no_font.setVisible(bool(path))

    def _use(self, name: str, used: bool) -> None:
        settings = self._store.settings
        names = [output.name for output in settings.outputs if output.name != name]
        if used:
            names.append(name)
        self._change(output=names[0] if names else NOTHING, also=tuple(names[1:]))

    def _take(self, way: Callable[[], Output]) -> None:
        try:
            chosen = way()
        except DomainError as error:
            self._refuse(error)
            return
        self._change(ways=self._store.settings.with_way(chosen))

    def _change(self, **values: object) -> None:
        try:
            self._store.change(**values)
        except DomainError as error:
            self._refuse(error)

    def _refuse(self, error: DomainError) -> None:
        sentence = str(error)
        self.refused.emit(sentence[:1].upper() + sentence[1:])
        self._show()

    def _choose_font(self) -> None:
        existing = QFileDialog.FileMode.ExistingFile
        dialog = file_dialog(self, self.tr("A SoundFont"), str(Path.home()), existing)
        dialog.setNameFilters([self.tr("SoundFonts (*.sf2 *.sf3)")])
        dialog.fileSelected.connect(lambda name: self._change(sound_font=name))
        dialog.open()

"""The page of settings: how lessons are given, what the hands of this lesson reach, the window, the sound."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Final

from PySide6.QtCore import QEvent, QSignalBlocker, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QCheckBox,
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from app.document.document import LessonDocument
from app.settings.settings import Settings
from app.settings.settings_store import SettingsStore
from app.widgets.button import Button
from app.widgets.labels import label
from app.widgets.number_fields import whole_number_field
from app.widgets.text_editors import LineField, TextField
from app.window.plan_choices import PlanChoices
from app.window.reach_measure import ReachMeasure
from core.edits.set_hands import set_hands
from core.performance.output import NOTHING, PIANO
from core.song.errors import DomainError
from core.song.note import Hand
from core.teaching.naming import Naming

ZOOM_STEP: Final = 10
COLUMN_GAP: Final = 64
MARGIN: Final = 32
GROUP_GAP: Final = 14
PHRASES_WIDTH: Final = 380


class SettingsPage(QScrollArea):
    """Every change counts at once and is kept; one of the hands belongs to the lesson and can be undone."""

    refused = Signal(str)
    """One sentence: why a value cannot be."""
    outputs_wanted = Signal()
    """The page of several outputs, their channels and sounds is wanted."""
    phrases_wanted = Signal()
    """The phrases for kinds of segments are to be shown."""
    folder_wanted = Signal()
    """Another folder of lessons is to be chosen."""

    def __init__(
        self,
        store: SettingsStore,
        document: LessonDocument,
        leave: Callable[[], object],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._store = store
        self._document = document
        self._leave = leave
        self.measure = ReachMeasure(self)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName(self.tr("Settings"))
        content = QWidget()
        self.plan = PlanChoices(store, content)
        self._make_hand_fields(content)
        self._make_program_fields(content)
        self.back = Button(self.tr("Back to work"), content, does=leave)
        self._lay_out(content)
        self.setWidget(content)
        self._connect()

    def start(self, outputs: Sequence[str], keyboards: Sequence[str] = ()) -> None:
        """Show what is set, with the first field in focus; `outputs` and `keyboards` are the MIDI ports there are."""
        self.measure.stop()
        self._fill_outputs(outputs)
        self._fill_keyboards(keyboards)
        self.plan.show_settings()
        self._show_settings()
        self._show_hands()
        self.plan.numbers["speaking_rate"].setFocus(Qt.FocusReason.OtherFocusReason)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Put the columns below one another where they are wider than the window."""
        super().resizeEvent(event)
        self._share_out()

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """Look at the width again when the text has another size."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.FontChange:
            self._share_out()

    def _share_out(self) -> None:
        widths = [half.minimumSize().width() for half in self._halves]
        fits = sum(widths) + COLUMN_GAP + 2 * MARGIN <= self.viewport().width()
        direction = QBoxLayout.Direction.LeftToRight if fits else QBoxLayout.Direction.TopToBottom
        if self._columns.direction() is not direction:
            self._columns.setDirection(direction)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Escape ends measuring, else leaves the page."""
        if event.key() == Qt.Key.Key_Escape:
            if self.measure.hand is None:
                self._leave()
            else:
                self.measure.stop()
            return
        super().keyPressEvent(event)

    def _make_hand_fields(self, content: QWidget) -> None:
        unit = self.tr(" semitones")
        self.reaches: dict[Hand, QSpinBox] = {
            Hand.RIGHT: whole_number_field(
                self.tr("Reach of the right hand in semitones"), content, unit=unit, most=99
            ),
            Hand.LEFT: whole_number_field(self.tr("Reach of the left hand in semitones"), content, unit=unit, most=99),
        }
        self.reach_names: dict[Hand, QLabel] = {hand: label("", content, look="quiet") for hand in Hand}
        names = {
            Hand.RIGHT: self.tr("Measure the reach of the right hand on the keyboard"),
            Hand.LEFT: self.tr("Measure the reach of the left hand on the keyboard"),
        }
        self.measures: dict[Hand, Button] = {
            hand: Button(self.tr("Measure"), content, name=names[hand], does=partial(self._measure, hand))
            for hand in Hand
        }
        self.caution = label("", content, look="quiet")
        self.caution.setWordWrap(True)

    def _make_program_fields(self, content: QWidget) -> None:
        self.naming = _choice(self.tr("Names of notes"), content)
        for way, text in (
            (Naming.LETTERS, self.tr("Letters, with words: E flat")),
            (Naming.SIGNS, self.tr("Letters, with signs: E♭")),
            (Naming.GERMAN, self.tr("German: Es, B, H")),
            (Naming.SYLLABLES, self.tr("Syllables: Mi flat")),
            (Naming.DEGREES, self.tr("Degrees of the key: flat three")),
        ):
            self.naming.addItem(text, way.value)
        self.theme = _choice(self.tr("Theme"), content)
        for name, text in (
            ("system", self.tr("As the system has it")),
            ("light", self.tr("Light")),
            ("dark", self.tr("Dark")),
        ):
            self.theme.addItem(text, name)
        self.zoom = whole_number_field(self.tr("Size of the sheet"), content, unit=self.tr(" %"), step=ZOOM_STEP)
        self.text_scale = whole_number_field(self.tr("Size of all text"), content, unit=self.tr(" %"), step=ZOOM_STEP)
        self.motion = QCheckBox(self.tr("Nothing moves by itself but the music"), content)
        self.output = _choice(self.tr("Heard through"), content)
        self.outputs = Button(
            self.tr("More…"),
            content,
            name=self.tr("Several outputs at once, channels, sounds and delay"),
            does=self.outputs_wanted.emit,
        )
        self.keyboard = _choice(self.tr("Keyboard that is listened to"), content)
        self.folder = Button("", content, does=self.folder_wanted.emit)
        self.segments = Button(
            self.tr("Phrases…"),
            content,
            name=self.tr("Your phrases for each kind of segment"),
            does=self.phrases_wanted.emit,
        )
        self.phrases = TextField(content)
        self.phrases.setAccessibleName(self.tr("Own phrases, one on each line"))
        self.phrases.setMinimumWidth(PHRASES_WIDTH)
        self.phrases.setPlaceholderText(self.tr("rest = Rest your hand before we go on."))

    def _lay_out(self, content: QWidget) -> None:
        others = self._form(
            (self.tr("Right hand reaches"), *self._reach_row(Hand.RIGHT)),
            (self.tr("Left hand reaches"), *self._reach_row(Hand.LEFT)),
            (self.tr("Names of notes"), self.naming),
            (self.tr("Theme"), self.theme),
            (self.tr("Size of all text"), self.text_scale),
            (self.tr("Size of the sheet"), self.zoom),
            (self.tr("Motion"), self.motion),
            (self.tr("Heard through"), self.output, self.outputs),
            (self.tr("Keyboard"), self.keyboard),
            (self.tr("Folder of lessons"), self.folder),
            (self.tr("Own phrases"), self.phrases),
            (self.tr("Said in each segment"), self.segments),
        )
        headings = ((9, self.tr("Your own")), (7, self.tr("Sound")), (2, self.tr("Window")))
        for row, text in headings:
            others.insertRow(row, _heading(text, content))
        others.insertRow(2, self.caution)
        left, right = QVBoxLayout(), QVBoxLayout()
        for column, title in (
            (left, self.tr("How lessons are given")),
            (right, self.tr("Hands, in this lesson")),
        ):
            column.setSpacing(10)
            column.addWidget(label(title, content, look="heading"))
        left.addWidget(self.plan)
        right.addLayout(others)
        self._halves = (left, right)
        self._columns = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._columns.setSpacing(COLUMN_GAP)
        for column in (left, right):
            column.addStretch()
            self._columns.addLayout(column)
        self._columns.addStretch(1)
        head = QHBoxLayout()
        head.addWidget(label(self.tr("Settings"), content, size="title", bold=True))
        head.addStretch()
        head.addWidget(self.back)
        layout = QVBoxLayout(content)
        layout.setContentsMargins(MARGIN, 20, MARGIN, 24)
        layout.setSpacing(20)
        layout.addLayout(head)
        layout.addLayout(self._columns)
        layout.addStretch()

    def _reach_row(self, hand: Hand) -> tuple[QSpinBox, Button, QLabel]:
        return self.reaches[hand], self.measures[hand], self.reach_names[hand]

    def _form(self, *rows: tuple[str, QWidget, *tuple[QWidget, ...]]) -> QFormLayout:
        form = QFormLayout()
        form.setHorizontalSpacing(20)
        form.setVerticalSpacing(8)
        for text, field, *beside in rows:
            row = QHBoxLayout()
            row.setSpacing(12)
            row.addWidget(field)
            for other in beside:
                row.addWidget(other)
            row.addStretch()
            name = label(text)
            name.setBuddy(field)
            form.addRow(name, row)
        return form

    def _connect(self) -> None:
        self.plan.refused.connect(self.refused)
        self.plan.left.connect(self._leave)
        for hand, reach in self.reaches.items():
            reach.valueChanged.connect(lambda value, hand=hand: self._reach(hand, value))
        self.naming.activated.connect(lambda _: self._change("naming", self.naming.currentData()))
        self.theme.activated.connect(lambda _: self._change("theme", self.theme.currentData()))
        self.zoom.valueChanged.connect(lambda value: self._change("zoom", value))
        self.output.activated.connect(lambda _: self._change("output", self.output.currentData()))
        self.keyboard.activated.connect(lambda _: self._change("keyboard", self.keyboard.currentData()))
        self.text_scale.valueChanged.connect(lambda value: self._change("text_scale", value))
        self.motion.toggled.connect(lambda less: self._change("motion", "less" if less else "system"))
        self.phrases.left.connect(self._take_phrases)
        self.measure.changed.connect(self._show_measuring)
        self.measure.measured.connect(self._reach)
        for field in (*self.reaches.values(), self.zoom, self.text_scale):
            line = field.lineEdit()
            if isinstance(line, LineField):
                line.cancelled.connect(self._leave)
        self._show_measuring()
        self._store.changed.connect(self._show_settings)
        self._document.song_changed.connect(self._show_hands)

    def _change(self, name: str, value: object) -> None:
        usual = getattr(Settings(), name)
        fitting = float(value) if isinstance(usual, float) and isinstance(value, int) else value
        try:
            self._store.change(**{name: fitting})
        except DomainError as error:
            self.refused.emit(str(error))
            self._show_settings()

    def _reach(self, hand: Hand, semitones: int) -> None:
        if not self._document.apply(lambda song: set_hands(song, hand, semitones), self.tr("reach of a hand")):
            self._show_hands()

    def _measure(self, hand: Hand) -> None:
        if self.measure.hand is hand:
            self.measure.stop()
        elif not self._store.settings.keyboard:
            self.refused.emit(self.tr("Choose a keyboard to listen to first, under Sound."))
            self.keyboard.setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            self.measure.listen(hand)

    def _show_measuring(self) -> None:
        listening = self.measure.hand
        for hand, button in self.measures.items():
            button.setText(self.tr("Cancel") if hand is listening else self.tr("Measure"))
        if listening is None:
            text = self.tr("Say or play what is reached without strain: chords, fingers and effort follow.")
        else:
            text = (
                self.tr("Play the widest chord that your right hand holds with ease, then let it go.")
                if listening is Hand.RIGHT
                else self.tr("Play the widest chord that your left hand holds with ease, then let it go.")
            )
            text += " " + self.tr("Do not stretch; stop if anything pulls or hurts.")
            if self.measure.widest:
                text += " " + self.tr("So far: %1 semitones.").replace("%1", str(self.measure.widest))
        self.caution.setText(text)

    def _take_phrases(self) -> None:
        lines = self.phrases.toPlainText().splitlines()
        self._change("phrases", tuple(line.strip() for line in lines if line.strip()))

    def _fill_keyboards(self, ports: Sequence[str]) -> None:
        chosen = self._store.settings.keyboard
        self.keyboard.clear()
        self.keyboard.addItem(self.tr("None"), "")
        for port in dict.fromkeys((*ports, *([chosen] if chosen else []))):
            self.keyboard.addItem(port, port)

    def _fill_outputs(self, ports: Sequence[str]) -> None:
        chosen = self._store.settings.output
        absent = () if chosen in (PIANO, NOTHING, *ports) else (chosen,)
        self.output.clear()
        self.output.addItem(self.tr("Built-in piano"), PIANO)
        for port in (*ports, *absent):
            self.output.addItem(port, port)
        self.output.addItem(self.tr("Nothing"), NOTHING)

    def _show_settings(self) -> None:
        settings = self._store.settings
        _show_number(self.zoom, settings.zoom)
        _show_number(self.text_scale, settings.text_scale)
        with QSignalBlocker(self.motion):
            self.motion.setChecked(settings.motion == "less")
        self.keyboard.setCurrentIndex(self.keyboard.findData(settings.keyboard))
        self.folder.setText(Path(settings.folder).name if settings.folder else self.tr("Choose…"))
        self.folder.setToolTip(settings.folder)
        self.folder.setAccessibleName(self.tr("Folder of lessons: %1").replace("%1", settings.folder or "–"))
        if not self.phrases.hasFocus():
            self.phrases.setPlainText("\n".join(settings.phrases))
        self.naming.setCurrentIndex(self.naming.findData(settings.naming))
        self.theme.setCurrentIndex(self.theme.findData(settings.theme))
        self.output.setCurrentIndex(self.output.findData(settings.output))

    def _show_hands(self) -> None:
        hands = self._document.song.hands
        for hand, field in self.reaches.items():
            _show_number(field, hands.reach(hand))
            self.reach_names[hand].setText(self._interval(hands.reach(hand)))

    def _interval(self, semitones: int) -> str:
        names = {
            7: self.tr("a fifth"),
            8: self.tr("a minor sixth"),
            9: self.tr("a sixth"),
            10: self.tr("a minor seventh"),
            11: self.tr("a seventh"),
            12: self.tr("an octave"),
            13: self.tr("a minor ninth"),
            14: self.tr("a ninth"),
            15: self.tr("a minor tenth"),
            16: self.tr("a tenth"),
            17: self.tr("an eleventh"),
        }
        return names[semitones]


def _heading(text: str, parent: QWidget) -> QLabel:
    """A heading between two groups of fields that stand in one column."""
    made = label(text, parent, look="heading")
    made.setContentsMargins(0, GROUP_GAP, 0, 2)
    return made


def _choice(name: str, parent: QWidget) -> QComboBox:
    box = QComboBox(parent)
    box.setAccessibleName(name)
    box.setMinimumWidth(200)
    return box


def _show_number(field: QSpinBox, value: int) -> None:
    with QSignalBlocker(field):
        field.setValue(value)

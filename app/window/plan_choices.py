"""How lessons are given: what the plan holds, how often and how fast, and presets to choose it all by."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Final

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QDoubleSpinBox,
    QFormLayout,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QSpinBox,
    QWidget,
)

from app.settings.settings import Settings
from app.settings.settings_store import SettingsStore
from app.widgets.button import Button
from app.widgets.choice_box import ChoiceBox
from app.widgets.labels import label
from app.widgets.number_fields import decimal_field, whole_number_field
from app.widgets.text_editors import LineField
from app.window.embellishment_boxes import EmbellishmentBoxes
from core.session.lesson_settings import END, LONGEST_NAME, SEGMENT_KINDS, WHOLE, LessonSettings
from core.song.errors import DomainError

OWN_VALUES: Final = ""
"""The name under which the choice of presets shows values that are no preset's."""
TEMPO_STEP: Final = 5
NAME_WIDTH: Final = 190


class PlanChoices(QWidget):
    """Every change counts at once and is kept.

    Attributes:
        numbers: the fields for whole numbers, by the setting's name.
        pause: the seconds between two plays.
        segments: a box for each kind of segment.
        opening: what the opening plays.
        by_difference: whether what comes back is taught by what is new.
        embellishments: what is shown at the end.
        presets: the choice of presets.
        name: the name to keep the present values under.
    """

    refused = Signal(str)
    """One sentence: why a value cannot be."""
    left = Signal()
    """Escape was pressed in a field."""

    def __init__(self, store: SettingsStore, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._store = store
        self._make_presets()
        self._make_numbers()
        self._make_segments()
        self.embellishments = EmbellishmentBoxes(self)
        self.usual = Button(
            self.tr("Usual values"), self, name=self.tr("Give lessons by the usual values"), does=self._be_usual
        )
        self._lay_out()
        self._connect()

    def show_settings(self) -> None:
        """Show what is set."""
        settings = self._store.settings
        own = [] if settings.preset else [(OWN_VALUES, self.tr("Values of no preset"))]
        self.presets.offer([*own, *((preset.name, preset.name) for preset in settings.presets)], settings.preset)
        self.remove.setEnabled(bool(settings.preset))
        for name, number in self.numbers.items():
            with QSignalBlocker(number):
                number.setValue(round(getattr(settings, name)))
        with QSignalBlocker(self.pause):
            self.pause.setValue(settings.pause)
        for kind, box in self.segments.items():
            with QSignalBlocker(box):
                box.setChecked(kind in settings.segments)
        self.opening.offer(self._openings(), settings.opening)
        with QSignalBlocker(self.by_difference):
            self.by_difference.setChecked(settings.by_difference)
        self.embellishments.show_chosen(settings.embellishments, [own.name for own in settings.own_patterns])

    def _make_presets(self) -> None:
        self.presets = ChoiceBox(self.tr("Preset by which lessons are given"), self)
        self.presets.setMinimumWidth(NAME_WIDTH)
        self.remove = Button(self.tr("Remove"), self, name=self.tr("Remove this preset"), does=self._remove)
        self.name = LineField(self)
        self.name.setAccessibleName(self.tr("Name to keep these values under"))
        self.name.setMaxLength(LONGEST_NAME)
        self.name.setPlaceholderText(self.tr("Name of a preset"))
        self.name.setMinimumWidth(NAME_WIDTH)
        self.keep = Button(self.tr("Keep"), self, name=self.tr("Keep these values under the name"), does=self._keep)

    def _make_numbers(self) -> None:
        percent = self.tr(" %")
        self.numbers: dict[str, QSpinBox] = {
            "speaking_rate": whole_number_field(self.tr("Speaking rate, words a minute"), self, step=5),
            "count_in_bars": whole_number_field(self.tr("Bars counted in"), self),
            "right_hand_times": whole_number_field(self.tr("How often the right hand is played"), self),
            "left_hand_times": whole_number_field(self.tr("How often the left hand is played"), self),
            "together_times": whole_number_field(self.tr("How often both hands are played"), self),
            "run_through_times": whole_number_field(self.tr("How often a run-through is played"), self),
            "embellishment_times": whole_number_field(self.tr("How often an embellishment is played"), self),
            "first_play_percent": whole_number_field(
                self.tr("Tempo of the first of several plays, in percent of the tempo taught at"),
                self,
                unit=percent,
                step=TEMPO_STEP,
            ),
            "last_play_percent": whole_number_field(
                self.tr("Tempo of the last of several plays, in percent of the tempo taught at"),
                self,
                unit=percent,
                step=TEMPO_STEP,
            ),
        }
        self.pause: QDoubleSpinBox = decimal_field(self.tr("Pause between two plays, seconds"), self)

    def _make_segments(self) -> None:
        titles = {
            "opening": self.tr("Opening"),
            "right_hand": self.tr("Right hand"),
            "left_hand": self.tr("Left hand"),
            "together": self.tr("Together"),
            "run_through": self.tr("Run-through"),
            "embellishment": self.tr("Embellishment"),
            "closing": self.tr("Closing"),
        }
        self.segments: dict[str, QCheckBox] = {}
        for kind in SEGMENT_KINDS:
            box = QCheckBox(titles[kind], self)
            box.setAccessibleName(self.tr("Lessons have: %1").replace("%1", titles[kind]))
            self.segments[kind] = box
        self.opening = ChoiceBox(self.tr("What the opening plays"), self)
        self.opening.setMinimumContentsLength(max(len(text) for _, text in self._openings()))
        self.by_difference = QCheckBox(self.tr("A part that comes back is taught by what is new"), self)

    def _openings(self) -> list[tuple[str, str]]:
        return [(WHOLE, self.tr("the whole song")), (END, self.tr("its last bars"))]

    def _lay_out(self) -> None:
        form = QFormLayout(self)
        form.setContentsMargins(0, 0, 0, 0)
        form.setHorizontalSpacing(20)
        form.setVerticalSpacing(8)
        for text, *row in (
            (self.tr("Preset"), self.presets, self.remove),
            (self.tr("Keep these as"), self.name, self.keep, self.usual),
            (self.tr("Words a minute"), self.numbers["speaking_rate"]),
            (self.tr("Bars counted in"), self.numbers["count_in_bars"]),
            (self.tr("Seconds between plays"), self.pause),
        ):
            form.addRow(_named(text, row[0]), _in_a_row(*row))
        form.addRow(label(self.tr("Segments"), self), self._segment_grid())
        first, last = self.numbers["first_play_percent"], self.numbers["last_play_percent"]
        form.addRow(_named(self.tr("Tempo of plays"), first), _in_a_row(first, _named(self.tr("to"), last), last))
        form.addRow(label(self.tr("Repeats"), self), self.by_difference)
        form.addRow(label(self.tr("Shown at the end"), self), self.embellishments)

    def _segment_grid(self) -> QWidget:
        ground = QWidget(self)
        grid = QGridLayout(ground)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(4)
        for row, (kind, box) in enumerate(self.segments.items()):
            grid.addWidget(box, row, 0)
            times = self.numbers.get(f"{kind}_times")
            if times is not None:
                grid.addWidget(times, row, 1)
                grid.addWidget(_named(self.tr("times"), times), row, 2)
        grid.addWidget(self.opening, 0, 1, 1, 3)
        grid.setColumnStretch(4, 1)
        return ground

    def _connect(self) -> None:
        for name, number in self.numbers.items():
            number.valueChanged.connect(partial(self._change, name))
        self.pause.valueChanged.connect(partial(self._change, "pause"))
        for box in self.segments.values():
            box.toggled.connect(lambda _: self._change("segments", self._chosen_segments()))
        self.opening.activated.connect(lambda _: self._change("opening", self.opening.chosen))
        self.by_difference.toggled.connect(partial(self._change, "by_difference"))
        self.embellishments.changed.connect(partial(self._change, "embellishments"))
        self.presets.activated.connect(lambda _: self._take_preset())
        self.name.returnPressed.connect(self._keep)
        self.name.cancelled.connect(self.left)
        for field in (*self.numbers.values(), self.pause):
            line = field.lineEdit()
            if isinstance(line, LineField):
                line.cancelled.connect(self.left)
        self._store.changed.connect(self.show_settings)

    def _change(self, name: str, value: object) -> None:
        usual = getattr(Settings(), name)
        fitting = float(value) if isinstance(usual, float) and isinstance(value, int) else value
        self._attempt(lambda: self._store.change(**{name: fitting}))

    def _attempt(self, change: Callable[[], object]) -> bool:
        """Change the settings; say why where they cannot be, and show them as they are."""
        try:
            change()
        except DomainError as error:
            self.refused.emit(str(error))
            self.show_settings()
            return False
        return True

    def _chosen_segments(self) -> tuple[str, ...]:
        return tuple(kind for kind, box in self.segments.items() if box.isChecked())

    def _be_usual(self) -> None:
        self._give_lessons_by(LessonSettings())

    def _take_preset(self) -> None:
        chosen = self.presets.chosen
        if chosen != OWN_VALUES:
            self._give_lessons_by(self._store.settings.lesson_as(chosen))
            self.name.setText(chosen)

    def _give_lessons_by(self, lesson: LessonSettings) -> None:
        self._store.change(**{name: getattr(lesson, name) for name in LessonSettings.__struct_fields__})

    def _keep(self) -> None:
        """Keep the present values under the name that was typed, in the place of a preset that had it."""
        settings = self._store.settings
        name = " ".join(self.name.text().split())
        same = settings.preset
        if not name:
            self.refused.emit(self.tr("Type a name first, under which these values are kept."))
        elif same not in ("", name):
            known = self.tr("These values are kept already, as “%1”.").replace("%1", same)
            self.refused.emit(known)
        elif self._attempt(lambda: self._store.change(presets=settings.with_preset(name))):
            self.name.setText(name)

    def _remove(self) -> None:
        settings = self._store.settings
        self._store.change(presets=settings.without_preset(settings.preset))
        self.name.clear()


def _named(text: str, field: QWidget) -> QLabel:
    """A label that leads to its field, for those who hear the page read."""
    made = label(text, field.parentWidget())
    made.setBuddy(field)
    return made


def _in_a_row(*widgets: QWidget) -> QHBoxLayout:
    row = QHBoxLayout()
    row.setSpacing(12)
    for widget in widgets:
        row.addWidget(widget)
    if not widgets[0].sizePolicy().expandingDirections() & Qt.Orientation.Horizontal:
        row.addStretch()
    return row

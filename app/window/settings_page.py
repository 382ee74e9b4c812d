"""The page on which a teacher says how lessons are given: speaking rate, counts, repeats, embellishments."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractSpinBox,
    QCheckBox,
    QDoubleSpinBox,
    QFormLayout,
    QHBoxLayout,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from app.settings.settings import Settings
from app.settings.settings_store import SettingsStore
from app.widgets.button import Button
from app.widgets.labels import label
from core.arranging.left_hand import PATTERNS

MOST_TIMES: Final = 8
MOST_COUNT_IN_BARS: Final = 4
LONGEST_PAUSE: Final = 10.0
SLOWEST_RATE, FASTEST_RATE = 60, 260
PLAIN_PATTERN: Final = "block"


class SettingsPage(QWidget):
    """How lessons are given; every change counts at once and is kept."""

    def __init__(self, store: SettingsStore, leave: Callable[[], object], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._store = store
        self._leave = leave
        self.setAccessibleName(self.tr("How lessons are given"))
        self.numbers: dict[str, QSpinBox] = {
            "speaking_rate": self._number(self.tr("Speaking rate, words a minute"), SLOWEST_RATE, FASTEST_RATE),
            "count_in_bars": self._number(self.tr("Bars counted in"), 0, MOST_COUNT_IN_BARS),
            "right_hand_times": self._number(self.tr("How often the right hand is played"), 1, MOST_TIMES),
            "left_hand_times": self._number(self.tr("How often the left hand is played"), 1, MOST_TIMES),
            "together_times": self._number(self.tr("How often both hands are played"), 1, MOST_TIMES),
            "run_through_times": self._number(self.tr("How often a run-through is played"), 1, MOST_TIMES),
        }
        self.pause = QDoubleSpinBox(self)
        self.pause.setRange(0.0, LONGEST_PAUSE)
        self.pause.setSingleStep(0.5)
        self.pause.setDecimals(1)
        self.pause.setMinimumWidth(90)
        self.pause.setAccessibleName(self.tr("Pause between two plays, seconds"))
        self.patterns: dict[str, QCheckBox] = {}
        for pattern in PATTERNS:
            if pattern.name != PLAIN_PATTERN:
                self.patterns[pattern.name] = QCheckBox(pattern.title, self)
        self.usual = Button(
            self.tr("Usual values"), self, name=self.tr("Go back to the usual values"), does=self._go_back_to_usual
        )
        self.back = Button(self.tr("Back to work"), self, does=leave)
        self._lay_out()
        self._show(store.settings)
        for name, number in self.numbers.items():
            number.valueChanged.connect(lambda value, name=name: self._change(name, value))
        self.pause.valueChanged.connect(lambda value: self._change("pause", value))
        for box in self.patterns.values():
            box.toggled.connect(lambda _: self._change("embellishments", self._chosen_patterns()))

    def start(self) -> None:
        """Show what is set, with the first field in focus."""
        self._show(self._store.settings)
        self.numbers["speaking_rate"].setFocus(Qt.FocusReason.OtherFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Escape leaves the page."""
        if event.key() == Qt.Key.Key_Escape:
            self._leave()
            return
        super().keyPressEvent(event)

    def _number(self, name: str, least: int, most: int) -> QSpinBox:
        number = QSpinBox(self)
        number.setRange(least, most)
        number.setMinimumWidth(90)
        number.setAccessibleName(name)
        return number

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.setHorizontalSpacing(20)
        form.setVerticalSpacing(8)
        rows: tuple[tuple[str, QAbstractSpinBox], ...] = (
            (self.tr("Words a minute"), self.numbers["speaking_rate"]),
            (self.tr("Bars counted in"), self.numbers["count_in_bars"]),
            (self.tr("Seconds between plays"), self.pause),
            (self.tr("Right hand, times"), self.numbers["right_hand_times"]),
            (self.tr("Left hand, times"), self.numbers["left_hand_times"]),
            (self.tr("Together, times"), self.numbers["together_times"]),
            (self.tr("Run-through, times"), self.numbers["run_through_times"]),
        )
        for text, field in rows:
            row = QHBoxLayout()
            row.addWidget(field)
            row.addStretch()
            form.addRow(label(text, self), row)
        shown = QVBoxLayout()
        for box in self.patterns.values():
            shown.addWidget(box)
        form.addRow(label(self.tr("Shown at the end"), self), shown)
        buttons = QHBoxLayout()
        buttons.addWidget(self.back)
        buttons.addWidget(self.usual)
        buttons.addStretch()
        column = QVBoxLayout()
        column.setSpacing(16)
        column.addWidget(label(self.tr("How lessons are given"), self, size="title", bold=True))
        column.addLayout(form)
        column.addLayout(buttons)
        column.addStretch()
        layout = QHBoxLayout(self)
        layout.setContentsMargins(32, 20, 32, 20)
        layout.addLayout(column)
        layout.addStretch(1)

    def _chosen_patterns(self) -> tuple[str, ...]:
        return tuple(name for name, box in self.patterns.items() if box.isChecked())

    def _change(self, name: str, value: object) -> None:
        self._store.change(**{name: float(value) if name == "speaking_rate" else value})  # type: ignore[arg-type]

    def _go_back_to_usual(self) -> None:
        self._show(Settings())

    def _show(self, settings: Settings) -> None:
        for name, number in self.numbers.items():
            number.setValue(round(getattr(settings, name)))
        self.pause.setValue(settings.pause)
        for name, box in self.patterns.items():
            box.setChecked(name in settings.embellishments)

"""How it is practised: a softer hand, the metronome's clicks, each time faster, parts in a row."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import Final, TypeVar

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QButtonGroup, QGridLayout, QHBoxLayout, QSizePolicy, QSlider, QVBoxLayout, QWidget

from app.settings.settings import LOUDEST_CLICK, MOST_CLICKS, SOFTEST_CLICK, Settings
from app.settings.settings_store import SettingsStore
from app.widgets.button import Button
from app.widgets.flow_layout import FlowLayout
from app.widgets.labels import label
from app.widgets.text_editors import LineField

STEPS_FASTER: Final = (0, 5, 10)
CLICK_STEP: Final = 10
_Value = TypeVar("_Value", str, int)


class PracticePanel(QWidget):
    """Choices that are made less often than those below the sheet."""

    row_wanted = Signal(str)
    """Parts in a row, as they were typed."""

    def __init__(self, settings: SettingsStore, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._settings = settings
        self.softer = self._choices(
            (
                ("none", self.tr("neither"), self.tr("Neither hand softer")),
                ("right", self.tr("right"), self.tr("Right hand softer")),
                ("left", self.tr("left"), self.tr("Left hand softer")),
            ),
            lambda value: settings.change(softer=value),
        )
        self.own_hands = self._choices(
            (
                ("none", self.tr("no"), self.tr("I do not play along")),
                ("right", self.tr("right"), self.tr("I play the right hand along")),
                ("left", self.tr("left"), self.tr("I play the left hand along")),
                ("both", self.tr("both"), self.tr("I play both hands along")),
            ),
            lambda value: settings.change(own_hands=value),
        )
        self.wait = Button(self.tr("wait for my notes"), self)
        self.wait.setCheckable(True)
        self.wait.clicked.connect(lambda checked=False: settings.change(wait=checked))
        self.told = label("", self)
        self.told.setWordWrap(True)
        self.told.hide()
        self._told = ""
        self.clicks = self._choices(
            [(n, str(n), self.tr("Clicks to a beat: %1").replace("%1", str(n))) for n in range(1, MOST_CLICKS + 1)],
            lambda value: settings.change(clicks=value),
        )
        self.faster = self._choices(
            [
                (n, f"{n} %" if n else self.tr("no"), self.tr("Each time faster by %1 percent").replace("%1", str(n)))
                for n in STEPS_FASTER
            ],
            lambda value: settings.change(faster=value),
        )
        self.level = QSlider(Qt.Orientation.Horizontal, self)
        self.level.setRange(SOFTEST_CLICK, LOUDEST_CLICK)
        self.level.setSingleStep(CLICK_STEP)
        self.level.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.level.setAccessibleName(self.tr("How loud the metronome clicks"))
        self.level.valueChanged.connect(lambda value: settings.change(click_percent=value))
        self.count_again = Button(self.tr("count in each time"), self)
        self.count_again.setCheckable(True)
        self.count_again.clicked.connect(lambda checked=False: settings.change(count_again=checked))
        self.row = LineField(self)
        self.row.setPlaceholderText(self.tr("3, then 1–3"))
        self.row.setAccessibleName(self.tr("Parts in a row"))
        self.row.returnPressed.connect(self._want_row)
        self.play_row = Button(self.tr("Play"), self, name=self.tr("Play the parts in a row"), does=self._want_row)
        for wide in (self.level, self.row):  # they take the room there is, and no more
            wide.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self._lay_out()
        settings.changed.connect(lambda _before, after: self._show(after))
        self._show(settings.settings)

    def _lay_out(self) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(8)
        rows: tuple[tuple[str, Sequence[QWidget]], ...] = (
            (self.tr("Softer"), tuple(self.softer.values())),
            (self.tr("Each time faster"), tuple(self.faster.values())),
            (self.tr("Clicks to a beat"), tuple(self.clicks.values())),
            (self.tr("Click"), (self.level,)),
            (self.tr("Again and again"), (self.count_again,)),
            ("", (label(self.tr("I play"), self, look="quiet"), *self.own_hands.values())),
            ("", (self.wait,)),
            ("", (self.told,)),
            (self.tr("Parts in a row"), (self.row, self.play_row)),
        )
        for place, (title, widgets) in enumerate(rows):
            if title:
                name = label(title, self, look="quiet")
                name.setWordWrap(True)
                grid.addWidget(name, place, 0)
            spreads = bool({self.level, self.row, self.told} & set(widgets))
            line = QHBoxLayout() if spreads else FlowLayout(spacing=6)
            line.setSpacing(6)
            for widget in widgets:
                line.addWidget(widget)
            if title:
                grid.addLayout(line, place, 1)
            else:
                grid.addLayout(line, place, 0, 1, 2)
        grid.setColumnStretch(1, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(8)
        layout.addWidget(label(self.tr("Practising"), self, look="heading"))
        layout.addLayout(grid)

    def tell(self, told: str) -> None:
        """Say how playing along went; nothing where nobody has played."""
        self._told = told
        self._show_told(self._settings.settings)

    def _show_told(self, settings: Settings) -> None:
        """What was told, or what is missing for anything to be told."""
        missing = settings.own_hands != "none" and not settings.keyboard
        told = self.tr("Choose your MIDI keyboard in the settings, so that you can be followed.") if missing else ""
        self.told.setText(self._told or told)
        self.told.setVisible(bool(self.told.text()))

    def _choices(
        self, choices: Sequence[tuple[_Value, str, str]], choose: Callable[[_Value], object]
    ) -> dict[_Value, Button]:
        group = QButtonGroup(self)
        made: dict[_Value, Button] = {}
        for value, title, name in choices:
            button = Button(title, self, name=name)
            button.setCheckable(True)
            button.clicked.connect(partial(_chosen, choose, value))
            group.addButton(button)
            made[value] = button
        return made

    def _want_row(self) -> None:
        words = self.row.text().strip()
        if words:
            self.row_wanted.emit(words)

    def _show(self, settings: Settings) -> None:
        self.softer[settings.softer].setChecked(True)
        self.clicks[settings.clicks].setChecked(True)
        if settings.faster in self.faster:
            self.faster[settings.faster].setChecked(True)
        self.own_hands[settings.own_hands].setChecked(True)
        self.wait.setChecked(settings.wait)
        self.wait.setVisible(settings.own_hands != "none")
        self._show_told(settings)
        self.level.setValue(settings.click_percent)
        self.count_again.setChecked(settings.count_again)


def _chosen(choose: Callable[[_Value], object], value: _Value, _checked: bool = False) -> None:
    choose(value)

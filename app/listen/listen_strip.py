"""Below the sheet in Listen: choices about what is heard and how, in one line where there is room."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QSlider, QVBoxLayout, QWidget

from app.settings.settings import FASTEST_PERCENT, SLOWEST_PERCENT, Settings
from app.settings.settings_store import SettingsStore
from app.widgets.button import Button
from app.widgets.flow_layout import FlowLayout
from app.widgets.labels import label

SPEED_STEP = 5


class ListenStrip(QWidget):
    """Hands, speed, count-in, again and again, metronome."""

    def __init__(self, settings: SettingsStore, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._settings = settings
        self.hands: dict[str, Button] = {}
        group = QButtonGroup(self)
        titles = {"right": self.tr("right"), "left": self.tr("left"), "both": self.tr("both")}
        names = {
            "right": self.tr("Hear the right hand"),
            "left": self.tr("Hear the left hand"),
            "both": self.tr("Hear both hands"),
        }
        for hands, title in titles.items():
            button = Button(title, self, name=names[hands])
            button.setCheckable(True)
            button.clicked.connect(lambda _=False, hands=hands: settings.change(hands=hands))
            group.addButton(button)
            self.hands[hands] = button
        self.speed = QSlider(Qt.Orientation.Horizontal, self)
        self.speed.setRange(SLOWEST_PERCENT, FASTEST_PERCENT)
        self.speed.setSingleStep(SPEED_STEP)
        self.speed.setPageStep(2 * SPEED_STEP)
        self.speed.setMinimumWidth(110)
        self.speed.setMaximumWidth(180)
        self.speed.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.speed.setAccessibleName(self.tr("Speed in percent"))
        self.speed.valueChanged.connect(self._set_speed)
        self.percent = label("", self)
        self.percent.setMinimumWidth(self.percent.fontMetrics().horizontalAdvance("120 %") + 4)
        self.count_in = self._choice(self.tr("count in"), "count_in", self.tr("Count a bar before playing"))
        self.again = self._choice(self.tr("again and again"), "again", self.tr("Play again and again"))
        self.metronome = self._choice(self.tr("metronome"), "metronome", self.tr("Click every beat"))
        hear, at = label(self.tr("Hear"), self, look="quiet"), label(self.tr("at"), self, look="quiet")
        row = FlowLayout()
        row.addWidget(_together(self, hear, *self.hands.values()))
        row.addWidget(_together(self, at, self.speed, self.percent))
        row.addWidget(_together(self, self.count_in, self.again, self.metronome))
        whole = QVBoxLayout(self)
        whole.setContentsMargins(20, 8, 20, 10)
        whole.addLayout(row)
        settings.changed.connect(lambda _before, after: self._show(after))
        self._show(settings.settings)

    def _choice(self, title: str, field: str, name: str) -> Button:
        button = Button(title, self, name=name)
        button.setCheckable(True)
        button.clicked.connect(lambda checked=False: self._settings.change(**{field: checked}))
        return button

    def _set_speed(self, value: int) -> None:
        stepped = round(value / SPEED_STEP) * SPEED_STEP
        if stepped != value:
            self.speed.setValue(stepped)
            return
        self._settings.change(speed=stepped)

    def _show(self, settings: Settings) -> None:
        self.hands[settings.hands].setChecked(True)
        self.speed.setValue(settings.speed)
        self.percent.setText(f"{settings.speed} %")
        self.count_in.setChecked(settings.count_in)
        self.again.setChecked(settings.again)
        self.metronome.setChecked(settings.metronome)


def _together(parent: QWidget, *widgets: QWidget) -> QWidget:
    """Controls that stay in one line."""
    group = QWidget(parent)
    row = QHBoxLayout(group)
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(8)
    for widget in widgets:
        row.addWidget(widget)
    return group

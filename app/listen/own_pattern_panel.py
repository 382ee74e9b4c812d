"""A left-hand pattern of the teacher's own: drawn, heard, kept under a name in the lesson and for other lessons."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from app.listen.pattern_grid import PatternGrid
from app.widgets.button import Button
from app.widgets.labels import label
from app.widgets.text_editors import LineField
from core.arranging.beats import beats_of
from core.song.metre import Metre
from core.song.pattern_grid import LONGEST_BEATS, OwnPattern
from core.song.wording import say_counted

DIVISIONS: Final = {False: (1, 2, 3, 4), True: (1, 3, 6)}
"""Cells in a beat that are offered, for plain and for dotted beats."""
USUAL_DIVISION: Final = {False: 2, True: 3}


class OwnPatternPanel(QWidget):
    """The grid with its name and how finely its beats are divided."""

    drawn = Signal(object)
    """The pattern as it is drawn now (`OwnPattern`), or None while nothing is struck."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._beats, self._compound = 4, False
        self.name = LineField(self)
        self.name.setAccessibleName(self.tr("Name of your pattern"))
        self.name.setPlaceholderText(self.tr("my pattern"))
        self.name.textEdited.connect(lambda _: self._tell())
        self.division = QComboBox(self)
        self.division.setAccessibleName(self.tr("Cells in a beat"))
        self.division.activated.connect(lambda _: self._divide())
        for wide in (self.name, self.division):
            wide.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.grid = PatternGrid(self)
        self.grid.changed.connect(self._tell)
        self.empty = Button(self.tr("Empty"), self, name=self.tr("Empty the grid"), does=self._divide)
        named = QHBoxLayout()
        named.setSpacing(8)
        named.addWidget(label(self.tr("Name"), self, look="quiet"))
        named.addWidget(self.name, 1)
        divided = QHBoxLayout()
        divided.setSpacing(8)
        divided.addWidget(label(self.tr("Each beat in"), self, look="quiet"))
        divided.addWidget(self.division, 1)
        divided.addWidget(self.empty)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(8)
        layout.addLayout(named)
        layout.addLayout(divided)
        layout.addWidget(self.grid)

    def start(self, metre: Metre, shown: OwnPattern | None = None) -> None:
        """Offer a grid of one bar of a metre, with an own pattern that fits it or an empty one."""
        beats = beats_of(metre)
        self._beats, self._compound = min(len(beats), LONGEST_BEATS), metre.is_compound
        fitting = [grid for grid in shown.grids if grid.beats == self._beats] if shown is not None else []
        fitting = [grid for grid in fitting if grid.division in DIVISIONS[self._compound]]
        division = fitting[0].division if fitting else USUAL_DIVISION[self._compound]
        self.division.clear()
        for count in DIVISIONS[self._compound]:
            text = say_counted("one cell", "{count} cells", count)
            self.division.addItem(text, count)
        self.division.setCurrentIndex(self.division.findData(division))
        self.name.setText(shown.name if shown is not None and fitting else "")
        self.grid.start(self._beats, division, compound=self._compound, shown=fitting[0] if fitting else None)

    @property
    def pattern(self) -> OwnPattern | None:
        """The pattern as it is drawn, None while nothing is struck."""
        grid = self.grid.grid()
        name = " ".join(self.name.text().split()) or self.tr("my pattern")
        return None if grid is None else OwnPattern(name, (grid,))

    def _divide(self) -> None:
        self.grid.start(self._beats, self.division.currentData(), compound=self._compound)
        self._tell()

    def _tell(self) -> None:
        self.drawn.emit(self.pattern)

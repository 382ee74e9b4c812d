"""A small grid of chord tones and beats on which a left-hand pattern is drawn.

Each column is a cell of a beat, each row a tone. What is struck is held until the next stroke; a cell in the lowest
row lets the hand rest.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QWidget

from app.widgets.button import Button
from app.widgets.labels import label
from core.song.errors import DomainError
from core.song.pattern_grid import HELD, REST, Grid

CELL_HEIGHT: Final = 20
NARROWEST_CELL: Final = 8
STEPS: Final = {
    Qt.Key.Key_Left: (0, -1),
    Qt.Key.Key_Right: (0, 1),
    Qt.Key.Key_Up: (-1, 0),
    Qt.Key.Key_Down: (1, 0),
}


class _Cell(Button):
    """One tone in one cell of a beat; the arrow keys walk to its neighbours."""

    def __init__(self, parent: QWidget, name: str, walk: Callable[[int, int], None], *, on_beat: bool) -> None:
        super().__init__("", parent, name=name, look="beat-cell" if on_beat else "cell")
        self._walk = walk
        self.setCheckable(True)
        self.setToolTip(name)
        self.setMinimumWidth(NARROWEST_CELL)
        self.setFixedHeight(CELL_HEIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Walk with the arrow keys."""
        step = STEPS.get(Qt.Key(event.key()))
        if step is None:
            super().keyPressEvent(event)
            return
        self._walk(*step)


class PatternGrid(QWidget):
    """A pattern being drawn."""

    changed = Signal()
    """A cell was struck or taken back."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.tones: tuple[tuple[str, str], ...] = (
            ("10", self.tr("tenth")),
            ("8", self.tr("octave")),
            ("5", self.tr("fifth")),
            ("R", self.tr("root")),
            ("5_", self.tr("fifth below")),
            ("C", self.tr("whole chord")),
            ("U", self.tr("chord above the bass")),
            (REST, self.tr("rest")),
        )
        self._short = {"C": self.tr("chord"), "U": self.tr("upper"), "5_": self.tr("low fifth")}
        self._compound = False
        self._division = 1
        self._cells: list[list[_Cell]] = []
        self._at = (0, 0)
        self._layout = QGridLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._layout.setHorizontalSpacing(2)
        self._layout.setVerticalSpacing(2)

    @property
    def cells(self) -> tuple[tuple[Button, ...], ...]:
        """The cells, row by row from the highest tone."""
        return tuple(tuple(row) for row in self._cells)

    @property
    def tab_stop(self) -> Button | None:
        """The cell that the arrow keys came to last; Tab stops there."""
        row, column = self._at
        return self._cells[row][column] if self._cells and column < len(self._cells[0]) else None

    def cell(self, tone: str, column: int) -> Button:
        """The cell of a tone."""
        return self._cells[[name for name, _ in self.tones].index(tone)][column]

    def start(self, beats: int, division: int, *, compound: bool, shown: Grid | None = None) -> None:
        """Offer an empty grid, or one with a pattern that has just so many cells."""
        self._division, self._compound = division, compound
        while (item := self._layout.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self._cells, self._at = [], (0, 0)
        for row, (tone, name) in enumerate(self.tones):
            self._layout.addWidget(label(self._short.get(tone, name), self, look="quiet"), row, 0)
            cells = []
            for column in range(beats * division):
                beat, place = divmod(column, division)
                where = self.tr("%1, beat %2, cell %3 of %4").replace("%1", name).replace("%2", str(beat + 1))
                where = where.replace("%3", str(place + 1)).replace("%4", str(division))
                cell = _Cell(self, where, partial(self._walk, row, column), on_beat=not place)
                cell.clicked.connect(partial(self._struck, row, column))
                self._layout.addWidget(cell, row, column + 1)
                self._layout.setColumnStretch(column + 1, 1)
                cells.append(cell)
            self._cells.append(cells)
        if shown is not None and (shown.beats, shown.division) == (beats, division):
            self._show(shown)

    def grid(self) -> Grid | None:
        """What is drawn; None while nothing is struck."""
        words = [self._word(column) for column in range(len(self._cells[0]))] if self._cells else []
        for place, word in enumerate(words):  # before the first stroke there is nothing to hold
            if word != HELD:
                break
            words[place] = REST
        try:
            return Grid.parse(" ".join(words), self._division, compound=self._compound)
        except DomainError:
            return None

    def _word(self, column: int) -> str:
        struck = [tone for (tone, _), row in zip(self.tones, self._cells, strict=True) if row[column].isChecked()]
        if REST in struck:
            return REST
        return "+".join(reversed(struck)) or HELD

    def _show(self, grid: Grid) -> None:
        for column, word in enumerate(grid.text.split()):
            wanted = word.split("+")
            for (tone, _), row in zip(self.tones, self._cells, strict=True):
                row[column].setChecked(tone in wanted)

    def _struck(self, row: int, column: int) -> None:
        """A rest and a tone cannot be in one cell: the later one counts."""
        self._at = (row, column)
        last = len(self.tones) - 1
        if self._cells[row][column].isChecked():
            for other, cells in enumerate(self._cells):
                if (row == last) != (other == last):
                    cells[column].setChecked(False)
        self.changed.emit()

    def _walk(self, row: int, column: int, down: int, right: int) -> None:
        to_row, to_column = row + down, column + right
        if 0 <= to_row < len(self._cells) and 0 <= to_column < len(self._cells[0]):
            self._at = (to_row, to_column)
            self._cells[to_row][to_column].setFocus(Qt.FocusReason.OtherFocusReason)

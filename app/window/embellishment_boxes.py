"""A box for every embellishment, in as many columns as the text's size allows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QEvent, QSignalBlocker, Qt, Signal
from PySide6.QtWidgets import QCheckBox, QGridLayout, QLabel, QWidget

from app.widgets.labels import label
from core.arranging.embellishments import EMBELLISHMENTS, OWN
from core.song.note import Hand

WIDTH: Final = 470
"""Pixels that the columns share at most, unless a single one is wider."""
GAP: Final = 10
BOX_MARGIN: Final = 34
"""Pixels that a box takes beside its words."""


class EmbellishmentBoxes(QWidget):
    """What either hand shows at the end of a lesson, the teacher's own patterns among it.

    Attributes:
        boxes: by the embellishment's name.
    """

    changed = Signal(tuple)
    """The names that are chosen now, in their order."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("Shown at the end of a lesson"))
        self._headings: dict[str, QLabel] = {
            "left": label(self.tr("left hand"), self, look="left"),
            "right": label(self.tr("right hand"), self, look="right"),
            OWN: label(self.tr("your own"), self, look="heading"),
        }
        self._groups: dict[str, list[str]] = {"left": [], "right": [], OWN: []}
        self.boxes: dict[str, QCheckBox] = {}
        for one in EMBELLISHMENTS:
            self._add("left" if one.hand is Hand.LEFT else "right", one.name, one.title)
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 2, 0, 0)
        self._grid.setHorizontalSpacing(GAP)
        self._grid.setVerticalSpacing(0)
        self._arrange()

    def show_chosen(self, chosen: Sequence[str], own: Sequence[str]) -> None:
        """Show what is chosen; `own` are the names of the teacher's own patterns."""
        wanted = list(
            dict.fromkeys((*(OWN + name for name in own), *(name for name in chosen if name.startswith(OWN))))
        )
        if wanted != self._groups[OWN]:
            for name in self._groups[OWN]:
                self.boxes.pop(name).deleteLater()
            self._groups[OWN] = []
            for name in wanted:
                self._add(OWN, name, name.removeprefix(OWN))
            self._arrange()
        for name, box in self.boxes.items():
            with QSignalBlocker(box):
                box.setChecked(name in chosen)

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """Set the columns anew when the text has another size."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.FontChange:
            self._arrange()

    def _add(self, group: str, name: str, title: str) -> None:
        box = QCheckBox(title, self)
        box.setAccessibleName(f"{self._headings[group].text()}: {title}")
        box.toggled.connect(self._choose)
        self.boxes[name] = box
        self._groups[group].append(name)

    def _choose(self) -> None:
        self.changed.emit(tuple(name for name, box in self.boxes.items() if box.isChecked()))

    def _arrange(self) -> None:
        words = self.fontMetrics()
        widest = max(words.horizontalAdvance(box.text()) for box in self.boxes.values()) + BOX_MARGIN
        columns = max(1, (WIDTH + GAP) // (widest + GAP))
        row = 0
        for group, names in self._groups.items():
            heading = self._headings[group]
            heading.setVisible(bool(names))
            if not names:
                continue
            self._grid.addWidget(heading, row, 0, 1, columns)
            row += 1
            rows = -(-len(names) // columns)
            for place, name in enumerate(names):
                box = self.boxes[name]
                self._grid.addWidget(box, row + place % rows, place // rows, Qt.AlignmentFlag.AlignLeft)
                box.show()
            row += rows

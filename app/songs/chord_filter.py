"""Finding songs by their chords: those that have some, or those that have no others."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QWidget

from app.widgets.text_editors import LineField
from core.song.errors import ChordSymbolError
from core.theory.chord_symbols import parse_chord, show_chord

FIELD_MARGIN: Final = 36
"""Pixels that the field takes besides its letters."""


class ChordFilter(QWidget):
    """A line for chords, and whether a song may have others."""

    changed = Signal()
    """Other chords are wanted."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.field = LineField(self)
        self.field.setAccessibleName(self.tr("Find songs by their chords"))
        self.field.setPlaceholderText(self.tr("Chords, such as C G7"))
        self.field.setToolTip(self.tr("Songs that have all of these chords, whatever else they have"))
        self.field.setClearButtonEnabled(True)
        self.others = QComboBox(self)
        self.others.setAccessibleName(self.tr("Whether the songs may have other chords"))
        self.others.addItem(self.tr("and others"), False)
        self.others.addItem(self.tr("and no others"), True)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(8)
        layout.addWidget(self.field, 1)
        layout.addWidget(self.others)
        self.field.textChanged.connect(self._tell)
        self.field.cancelled.connect(self.field.clear)
        self.others.currentIndexChanged.connect(self._tell)
        self._tell()

    @property
    def chords(self) -> frozenset[str]:
        """The chords that are wanted, named as lessons in the list name theirs."""
        return frozenset(name for text in self._texts if (name := _chord_named(text)))

    @property
    def unknown(self) -> str:
        """The first that is typed and is no chord; empty where all are."""
        return next((text for text in self._texts if not _chord_named(text)), "")

    @property
    def no_others(self) -> bool:
        """Whether only songs are wanted that have no other chords."""
        return bool(self.others.currentData())

    @property
    def _texts(self) -> list[str]:
        return self.field.text().replace(",", " ").split()

    def _tell(self) -> None:
        letters = self.field.fontMetrics()
        self.field.setMinimumWidth(letters.horizontalAdvance(self.field.placeholderText()) + FIELD_MARGIN)
        self.others.setVisible(bool(self._texts))
        self.changed.emit()


def _chord_named(text: str) -> str:
    """How a chord is shown; empty for a text that is none."""
    try:
        return show_chord(parse_chord(text))
    except ChordSymbolError:
        return ""

"""What the song costs in twelve keys, which of them suit a singer, and the way into another one."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QComboBox, QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from app.background.slow_work import SlowWork
from app.document.document import LessonDocument
from app.draft.effort_panel import EffortBar
from app.widgets.button import Button
from app.widgets.labels import label
from app.widgets.themes import Themes
from core.edits.transpose import transpose
from core.session.key_reasons import KeyEffort
from core.song.pitch import Pitch
from core.song.song import Song

KEYS: Final = "twelve keys"
WAITING_MILLISECONDS: Final = 600
"""How long the song must stand unchanged before its keys are computed: nobody looks at them while typing."""
NOTES: Final = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
SINGERS_LOWEST: Final = 40
SINGERS_HIGHEST: Final = 84
"""The notes offered as a singer's bounds, E2 … C6 (common practice: from a low bass to a high soprano)."""


class KeysPanel(QWidget):
    """Twelve keys, each with its effort; pressing one moves the song there."""

    def __init__(
        self, document: LessonDocument, slow_work: SlowWork, themes: Themes, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._slow_work = slow_work
        self._themes = themes
        self._shown_for: tuple[Song, str, str] | None = None
        self._tried_for: tuple[Song, str, str] | None = None
        self._rows: list[QWidget] = []
        self.buttons: dict[str, Button] = {}
        self.about = label("", self, look="quiet")
        self.about.setWordWrap(True)
        self.lowest = self._bound(self.tr("Lowest note of the singer"))
        self.highest = self._bound(self.tr("Highest note of the singer"))
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(8)
        self._grid.setVerticalSpacing(2)
        self._grid.setColumnStretch(1, 1)
        singer = QHBoxLayout()
        singer.setSpacing(8)
        singer.addWidget(label(self.tr("Singer from"), self, look="quiet"))
        singer.addWidget(self.lowest)
        singer.addWidget(label(self.tr("to"), self, look="quiet"))
        singer.addWidget(self.highest)
        singer.addStretch()
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(8)
        layout.addWidget(label(self.tr("The song in twelve keys"), self, look="heading"))
        layout.addLayout(singer)
        layout.addLayout(self._grid)
        layout.addWidget(self.about)
        self._waiting = QTimer(self)
        self._waiting.setSingleShot(True)
        self._waiting.setInterval(WAITING_MILLISECONDS)
        self._waiting.timeout.connect(self._compute)
        document.song_changed.connect(self._look_again)

    def refresh(self) -> None:
        """Compute what is shown, if it is not that of the song as it is now."""
        if self._question() not in (self._shown_for, self._tried_for):
            self._waiting.start(0)

    def close_panel(self) -> None:
        """Wait for nothing any more."""
        self._waiting.stop()
        self._slow_work.forget(KEYS)

    def _look_again(self) -> None:
        if self.isVisible():
            self._waiting.start(WAITING_MILLISECONDS)

    def _question(self) -> tuple[Song, str, str]:
        return self._document.song, self.lowest.currentData() or "", self.highest.currentData() or ""

    def _compute(self) -> None:
        question = self._question()
        if question in (self._shown_for, self._tried_for):
            return
        self._tried_for = question
        song, lowest, highest = question
        self.about.setText(self.tr("Trying the keys …"))
        self._slow_work.start(
            "core.session.key_choice:twelve_keys",
            song,
            Pitch.parse(lowest) if lowest else None,
            Pitch.parse(highest) if highest else None,
            done=lambda found: self._show_keys(found, question),
            failed=self._failed,
            name=KEYS,
        )

    def _failed(self, sentence: str) -> None:
        self._tried_for = None
        self.about.setText(sentence)

    def _show_keys(self, found: tuple[KeyEffort, ...], question: tuple[Song, str, str]) -> None:
        if question != self._question():
            return  # the song has changed meanwhile, and is being tried again
        self._shown_for, self._tried_for = question, None
        for widget in self._rows:
            self._grid.removeWidget(widget)
            widget.hide()
            widget.deleteLater()
        self._rows, self.buttons = [], {}
        for row, choice in enumerate(found):
            self._add_row(row, choice)
        best = next((choice for choice in found if choice.is_best), None)
        own = next((choice for choice in found if choice.is_own), None)
        sentences = dict.fromkeys(choice.reason for choice in (best, own) if choice is not None and choice.reason)
        if best is None:
            sentences = {self.tr("In no key does the melody fit between these notes."): None}
        self.about.setText(" ".join(sentences))

    def _add_row(self, row: int, choice: KeyEffort) -> None:
        name = choice.key.tonic.symbol
        button = Button(name, self, name=self.tr("Move the song to %1").replace("%1", choice.key.symbol), look="row")
        button.setCheckable(True)
        button.setChecked(choice.is_own)
        button.setToolTip(choice.reason)
        button.setFixedWidth(48)
        button.clicked.connect(lambda _=False: self._move_to(choice))
        bar = EffortBar(self._themes, self)
        bar.set_value(choice.effort)
        bar.setAccessibleName(self.tr("Effort %1").replace("%1", str(round(choice.effort))))
        bar.setToolTip(choice.reason)
        figure = label(str(round(choice.effort)), self, look="quiet")
        remark = label(self._remark(choice), self, look="quiet")
        for column, widget in enumerate((button, bar, figure, remark)):
            self._grid.addWidget(widget, row, column)
            widget.show()
            self._rows.append(widget)
        self.buttons[choice.key.plain] = button

    def _remark(self, choice: KeyEffort) -> str:
        if not choice.fits:
            return self.tr("out of the voice")
        if choice.is_best:
            return self.tr("easiest")
        return self.tr("now") if choice.is_own else ""

    def _move_to(self, choice: KeyEffort) -> None:
        pitch_class = choice.key.tonic.pitch_class
        moved = self._document.apply(lambda song: transpose(song, pitch_class), self.tr("another key"))
        if not moved or choice.is_own:
            for name, button in self.buttons.items():
                button.setChecked(name == self._document.song.key.plain)

    def _bound(self, name: str) -> QComboBox:
        """The notes a singer may name; none is named at first."""
        choice = QComboBox(self)
        choice.setAccessibleName(name)
        choice.addItem(self.tr("any"), "")
        for midi in range(SINGERS_LOWEST, SINGERS_HIGHEST + 1):
            octave, pitch_class = divmod(midi, 12)
            pitch = Pitch.parse(f"{NOTES[pitch_class]}{octave - 1}")
            choice.addItem(f"{pitch.name.symbol}{pitch.octave}", pitch.plain)
        choice.currentIndexChanged.connect(self._look_again)
        return choice

"""At the right of Draft: what to say in the selected part, its effort, what to look at."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.document.document import LessonDocument
from app.draft.asides_panel import AsidesPanel
from app.draft.doubtful_hands import DoubtfulHands
from app.draft.effort_panel import EffortPanel, ThingsToLookAt
from app.draft.words_panel import WordsPanel
from app.widgets.labels import label
from app.widgets.selection import Selection
from app.widgets.themes import Themes
from core.session.analysis import Remark, analyse_part
from core.song.song import Song
from core.teaching.naming import Naming


class DraftPanel(QWidget):
    """Words, effort, things to look at."""

    moment_wanted = Signal(int)
    """A moment to be shown, in ticks from the song's start."""

    def __init__(
        self,
        document: LessonDocument,
        selection: Selection,
        themes: Themes,
        doubtful: DoubtfulHands,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._doubtful = doubtful
        doubtful.changed.connect(self._show_again)
        self._naming = Naming.LETTERS
        self._number = 1
        self._shown: tuple[Song, int, Naming, tuple[Remark, ...]] | None = None
        self._title = label("", self, look="heading")
        self.words = WordsPanel(document, themes, self)
        self.asides = AsidesPanel(document, selection, self)
        self.effort = EffortPanel(themes, self)
        self.look_at = ThingsToLookAt(self)
        self.asides.moment_wanted.connect(self.moment_wanted)
        self.effort.moment_wanted.connect(self.moment_wanted)
        self.look_at.moment_wanted.connect(self.moment_wanted)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(16, 16, 16, 16)
        layout.setSpacing(12)
        layout.addWidget(self._title)
        layout.addWidget(self.words)
        layout.addWidget(self.asides)
        layout.addSpacing(4)
        layout.addWidget(self.effort)
        layout.addSpacing(4)
        layout.addWidget(self.look_at)
        layout.addStretch()

    def set_naming(self, naming: Naming) -> None:
        """Call notes and chords by other names."""
        if naming is not self._naming:
            self._naming = naming
            self._show_again()

    def show_part(self, number: int) -> None:
        """Show what belongs to a part."""
        self._number = number
        self.asides.show_part(number)
        song, remarks = self._document.song, self._doubtful.remarks(number)
        if self._shown is not None and self._shown[0] is song and self._shown[1:] == (number, self._naming, remarks):
            return  # only another note of the part was selected
        self._shown = (song, number, self._naming, remarks)
        analysis = analyse_part(song, number, self._naming)
        self._title.setText(self.tr("Part %1: what to say").replace("%1", str(number)))
        self.words.show_part(number, dict(analysis.words), self._naming)
        self.effort.show_effort(analysis.effort)
        self.look_at.show_remarks((*analysis.remarks, *remarks))

    def _show_again(self) -> None:
        self.show_part(min(self._number, len(self._document.song.parts)))

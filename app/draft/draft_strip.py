"""Below the sheet in Draft: the cuts, and the selected part's right hand as a line of text."""

from __future__ import annotations

from typing import Final

from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.document.document import LessonDocument
from app.draft.cut_editing import CutEditing
from app.draft.right_hand_line import RightHandLine
from app.widgets.button import Button
from app.widgets.flow_layout import FlowLayout
from app.widgets.labels import label
from app.widgets.place_words import cut_in_words
from core.session.analysis import part_effort
from core.song.song import Song

BESIDE_BUTTONS: Final = (5, 0, 4)
"""Pixels above, right of and below a line of text that stands in a row with buttons."""


class DraftStrip(QWidget):
    """Cuts, and a line of notes."""

    def __init__(self, document: LessonDocument, cuts: CutEditing, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._shown: tuple[Song, int] | None = None
        self._where = label("", self, look="quiet")
        self._where.setContentsMargins(0, *BESIDE_BUTTONS)
        self.propose = Button(
            self.tr("Propose cuts"), self, name=self.tr("Propose cuts for the whole song"), does=cuts.propose
        )
        self.propose.setToolTip(self.tr("Cut the whole song anew where its phrases begin"))
        self.fewer = Button(
            self.tr("Fewer parts"), self, name=self.tr("Propose cuts for one part fewer"), does=cuts.propose_fewer
        )
        self.fewer.setToolTip(self.tr("Cut the whole song anew into one part fewer"))
        self.more = Button(
            self.tr("More parts"), self, name=self.tr("Propose cuts for one part more"), does=cuts.propose_more
        )
        self.more.setToolTip(self.tr("Cut the whole song anew into one part more"))
        self.split = Button(
            self.tr("Split here"), self, name=self.tr("Split before the selected note"), does=cuts.split
        )
        self.split.setToolTip(self.tr("Begin a new part with the selected note"))
        self.join = Button("", self, does=cuts.join)
        self.line = RightHandLine(document, self)
        row = FlowLayout()
        for widget in (self._where, self.propose, self.fewer, self.more, self.split, self.join):
            row.addWidget(widget)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(20, 6, 20, 8)
        layout.setSpacing(6)
        layout.addLayout(row)
        layout.addWidget(self.line)

    def show_part(self, number: int) -> None:
        """Show what belongs to a part."""
        song = self._document.song
        self.line.show_part(number)
        if self._shown is not None and self._shown[0] is song and self._shown[1] == number:
            return
        self._shown = (song, number)
        last = number >= len(song.parts)
        if last:
            self._where.setText(self.tr("The last part ends here"))
        else:
            cut = song.part_onsets[number]
            where = self.tr("Cut after %1; effort %2 before it, %3 behind it").replace("%1", cut_in_words(song, cut))
            efforts = [str(round(part_effort(song, part).total)) for part in (number, number + 1)]
            self._where.setText(where.replace("%2", efforts[0]).replace("%3", efforts[1]))
            text = self.tr("Join with part %1").replace("%1", str(number + 1))
            self.join.setText(text)
            self.join.setAccessibleName(
                self.tr("Join part %1 with part %2").replace("%1", str(number)).replace("%2", str(number + 1))
            )
        self.join.setVisible(not last)

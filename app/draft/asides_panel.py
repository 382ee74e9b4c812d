"""Asides of the selected part: remarks at a place that the teacher may make or leave out."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.document.document import LessonDocument
from app.widgets.button import Button
from app.widgets.labels import label
from app.widgets.place_link import PlaceLink
from app.widgets.selection import Kind, Selection
from app.widgets.text_editors import TextField
from core.edits.part_contents import LEFT_HAND, RIGHT_HAND, TOGETHER
from core.edits.set_aside import add_aside, move_aside, set_aside
from core.session.moments import moment_words
from core.song.part import Aside
from core.song.song import Song

KINDS: Final = {Kind.NOTE: RIGHT_HAND, Kind.CHORD: LEFT_HAND, Kind.PART: TOGETHER}
"""The segment that an aside belongs to, by what is selected when it is made."""


class AsideRow(QWidget):
    """One aside: where it stands, what it says, and a way to be rid of it."""

    typed = Signal(str)
    """What it says now."""
    removed = Signal()
    """It is not wanted any more."""
    moved = Signal()
    """It is to stand at what is selected."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.place = PlaceLink("", self)
        self._move = Button(self.tr("Move here"), self, look="link", does=self.moved.emit)
        self._move.setToolTip(self.tr("Let it stand at the selected note or chord"))
        self._remove = Button(self.tr("Remove"), self, look="link", does=self.removed.emit)
        self.field = TextField(self)
        self.field.textChanged.connect(self._report)
        self._expected = ""
        head = QHBoxLayout()
        head.setContentsMargins(0, 0, 0, 0)
        head.addWidget(self.place)
        head.addStretch()
        head.addWidget(self._move)
        head.addWidget(self._remove)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(2)
        layout.addLayout(head)
        layout.addWidget(self.field)

    def show_aside(self, place: str, tick: int, text: str, *, while_typing: bool) -> None:
        """Show an aside; while it is being typed, its field is left as it is."""
        self.place.show_place(place, tick)
        self.field.setAccessibleName(self.tr("Aside at %1").replace("%1", place))
        self._move.setAccessibleName(self.tr("Move the aside at %1 here").replace("%1", place))
        self._remove.setAccessibleName(self.tr("Remove the aside at %1").replace("%1", place))
        self._expected = text
        if not while_typing:
            self.field.show_text(text)

    def _report(self) -> None:
        text = self.field.toPlainText()
        if text.split() != self._expected.split():
            self.typed.emit(text)


class AsidesPanel(QWidget):
    """What may be said in a part, or left out, each at its place."""

    moment_wanted = Signal(int)
    """A moment to be shown, in ticks from the song's start."""

    def __init__(self, document: LessonDocument, selection: Selection, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._number = 1
        self._typed: tuple[int, Aside, bool] | None = None
        """The aside that is being typed: its place among the part's, itself, and whether it is a new one."""
        self.rows: list[AsideRow] = []
        heading = label(self.tr("If you like"), self, look="heading")
        heading.setToolTip(self.tr("Asides: the plan names them, and its times go without them"))
        self.add = Button(self.tr("Aside here"), self, look="link", does=self.add_here)
        self.add.setToolTip(self.tr("A remark at the selected note or chord, to be made or left out"))
        head = QHBoxLayout()
        head.setContentsMargins(0, 0, 0, 0)
        head.addWidget(heading)
        head.addStretch()
        head.addWidget(self.add)
        self._rows = QVBoxLayout()
        self._rows.setContentsMargins(0, 0, 0, 0)
        self._rows.setSpacing(6)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(4)
        layout.addLayout(head)
        layout.addLayout(self._rows)

    def add_here(self) -> None:
        """Let an aside be typed at what is selected."""
        self._end()
        place, song = self._selection.place, self._document.song
        onset = place.onset(song) or 0
        part = song.parts[place.part - 1]
        at = sum(aside.onset <= onset for aside in part.asides)
        self._typed = (at, Aside(onset, "", KINDS[place.kind]), True)
        self._show(place.part, keep_typed=False)
        self.rows[at].field.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def show_part(self, number: int) -> None:
        """Show a part's asides."""
        if number != self._number:
            self._typed = None
        self._show(number, keep_typed=True)

    def _show(self, number: int, *, keep_typed: bool) -> None:
        self._number = number
        song = self._document.song
        asides = list(song.parts[number - 1].asides)
        if self._typed is not None and not self._is_in_song(song):
            asides.insert(self._typed[0], self._typed[1])
        while len(self.rows) > len(asides):
            row = self.rows.pop()
            self._rows.removeWidget(row)
            row.hide()
            row.deleteLater()
        while len(self.rows) < len(asides):
            self.rows.append(self._new_row(len(self.rows)))
        start = song.part_onsets[number - 1]
        for place, (row, aside) in enumerate(zip(self.rows, asides, strict=True)):
            tick = start + aside.onset
            typing = keep_typed and self._typed is not None and place == self._typed[0]
            words = moment_words(song, tick)
            words = words[:1].upper() + words[1:]
            row.show_aside(words, tick, aside.text, while_typing=typing and row.field.hasFocus())

    def _new_row(self, place: int) -> AsideRow:
        row = AsideRow(self)
        row.typed.connect(lambda text: self._type(place, text))
        row.removed.connect(lambda: self._remove(place))
        row.moved.connect(lambda: self._move(place))
        row.place.chosen.connect(self.moment_wanted)
        row.field.left.connect(self._end)
        self._rows.addWidget(row)
        return row

    def _is_in_song(self, song: Song) -> bool:
        """Whether the aside that is being typed says something yet, or again."""
        assert self._typed is not None
        place, aside, _ = self._typed
        asides = song.parts[self._number - 1].asides
        return bool(aside.text.split()) and place < len(asides) and asides[place].onset == aside.onset

    def _type(self, place: int, text: str) -> None:
        number = self._number
        if self._typed is None or self._typed[0] != place:
            self._typed = (place, self._document.song.parts[number - 1].asides[place], False)
        _, aside, is_new = self._typed
        said = " ".join(text.split())
        self._typed = (place, Aside(aside.onset, said, aside.kind), is_new)

        def edit(song: Song) -> Song:
            if not is_new:
                return set_aside(song, number, place, said)
            return add_aside(song, number, aside.onset, said, aside.kind) if said else song

        self._document.apply(edit, self.tr("aside"), f"aside {number} {place}")

    def _remove(self, place: int) -> None:
        self._end()
        number = self._number
        if place < len(self._document.song.parts[number - 1].asides):
            self._document.apply(lambda song: set_aside(song, number, place, None), self.tr("aside removed"))
        self.add.setFocus(Qt.FocusReason.OtherFocusReason)

    def _move(self, place: int) -> None:
        self._end()
        number, song = self._number, self._document.song
        onset = self._selection.place.onset(song)
        if onset is not None and place < len(song.parts[number - 1].asides):
            self._document.apply(lambda song: move_aside(song, number, place, onset), self.tr("aside moved"))

    def _end(self) -> None:
        """What was typed is done with; an aside that says nothing is none."""
        if self._typed is not None:
            self._typed = None
            self._document.end_typing()
            self.show_part(min(self._number, len(self._document.song.parts)))

"""The desk at which a lesson is drafted: brings together the sheet, its keys, and every kind of change."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent

from app.document.document import LessonDocument
from app.draft.chord_editing import ChordEditing
from app.draft.chord_field import ChordField
from app.draft.cut_editing import CutEditing
from app.draft.name_typing import NameTyping
from app.draft.note_editing import NoteEditing
from app.widgets.change import Change
from app.widgets.lesson_sheet import LessonSheet
from app.widgets.selection import Kind, Place, Selection, chord_place, valid_place
from core.song.pitch import LETTERS
from core.song.song import Song
from core.theory.chord_symbols import write_chord

CHORD_LETTERS: Final = frozenset((*LETTERS, "H"))
"""Letters that begin a chord's name, and the German H, of which the field says what it is called here."""


class Desk(QObject):
    """Turns what is done on the sheet into changes of the lesson."""

    heard = Signal(int)
    """MIDI number of a note that was named or moved, to be heard."""
    settled = Signal()
    """Something was done; an older message has had its time."""

    def __init__(
        self, document: LessonDocument, selection: Selection, sheet: LessonSheet, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._sheet = sheet
        self.notes = NoteEditing(document, selection, self)
        self.chords = ChordEditing(document, selection, self)
        self.cuts = CutEditing(document, selection, self)
        self.typing = NameTyping(document, selection, self.notes)
        self.chord_field = ChordField(self.chords.fault_in, self.chords.name, self.chords.complete, self)
        self.notes.heard.connect(self.heard)
        sheet.change_wanted.connect(self._change)
        sheet.cut_moved.connect(self.cuts.move)
        sheet.cut_nudged.connect(self._nudge)
        sheet.note_wanted.connect(self.notes.add_at)
        sheet.chord_wanted.connect(self.name_chord_at)
        sheet.typed.connect(self.take_key)
        self.chord_field.closed.connect(self._back_to_sheet)

    def name_chord(self) -> None:
        """Let the selected chord be named, or a new one where a note is selected."""
        place = self._selection.place
        chord = place.chord(self._document.song)
        if chord is not None:
            self.name_chord_at(place.part, chord.onset)
        else:
            self.add_chord()

    def add_chord(self) -> None:
        """Let a new chord be named."""
        wanted = self.chords.place_for_new()
        if wanted is not None:
            self.name_chord_at(*wanted)

    def name_chord_at(self, part: int, onset: int, text: str | None = None) -> None:
        """Let the chord that begins at a moment of a part be named, or a new one there."""
        song = self._document.song
        place = chord_place(song, part, onset)
        chord = place.chord(song)
        if chord is not None:
            self._selection.select(place)
        if text is None:
            text = write_chord(chord.symbol) if chord is not None else ""
        ground, box = self._sheet.box_for_chord(part, onset)
        self.chord_field.open(ground, box, part, onset, text)

    def press_enter(self) -> None:
        """End the typing of a note's name; else let the chord here be named."""
        if self.typing.typed:
            self.typing.end()
        else:
            self.name_chord()

    def finger(self, finger: int | None) -> None:
        """Give the selected note a finger of one's own, or None to have it computed."""
        self.typing.end()
        self.notes.finger(finger)

    def remove(self) -> None:
        """Remove the selected note or chord."""
        self.typing.end()
        if self._selection.place.kind is Kind.CHORD:
            self.chords.remove()
        else:
            self.notes.remove()

    def move_in_time(self, steps: int) -> None:
        """Move the selected note or chord later (negative: earlier)."""
        if self._selection.place.kind is Kind.CHORD:
            self.chords.move_in_time(steps)
        else:
            self.notes.move_in_time(steps)

    def take_key(self, event: QKeyEvent) -> None:
        """Take a key that was pressed on the sheet; one that means nothing here is left to others."""
        text, key = event.text(), event.key()
        modified = event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier)
        if modified:
            return
        kind = self._selection.place.kind
        if key == Qt.Key.Key_Escape:
            taken = self.typing.cancel()
            if not taken and kind is not Kind.PART:
                self._selection.select(Place(self._selection.place.part))
                taken = True
        elif key == Qt.Key.Key_Backspace:
            taken = True
            if not self.typing.take_back():
                self.remove()
        else:
            taken = self._take_text(kind, text)
        if taken:
            event.accept()

    def _take_text(self, kind: Kind, text: str) -> bool:
        if len(text) != 1 or not text.isprintable() or text.isspace():
            return False
        if kind is Kind.CHORD:
            chord = self._selection.place.chord(self._document.song)
            if chord is not None and text.upper() in CHORD_LETTERS:
                self.name_chord_at(self._selection.place.part, chord.onset)
                self.chord_field.begin_with(text)
                return True
            return False
        return self.typing.type(text)

    def _change(self, change: Change) -> None:
        if self._document.apply(change.edit, change.label):
            song = self._document.song
            if change.several is not None:
                self._selection.select_several(change.several(song), change.select(song))
            else:
                self._selection.select(change.select(song))
            if change.heard is not None:
                self.heard.emit(change.heard)

    def _nudge(self, after: int, direction: int, by_bar: bool) -> None:
        if by_bar:
            self.cuts.move_by_bars(direction, after)
        else:
            self.cuts.move_by_beats(direction, after)

    def _back_to_sheet(self) -> None:
        if self._sheet.isVisible():
            self._sheet.setFocus(Qt.FocusReason.OtherFocusReason)

    def keep_place(self, before: Song, after: Song) -> None:
        """Keep the selection on something that is there; after an undo elsewhere, go to what changed."""
        place = valid_place(self._selection.place, after)
        if len(before.parts) == len(after.parts):
            changed = [
                number
                for number, (old, new) in enumerate(zip(before.parts, after.parts, strict=True), 1)
                if old is not new
            ]
            if changed and place.part not in changed:
                place = Place(changed[0])
        self._selection.select(place)
        self.settled.emit()

"""Renaming the selected note by typing its name: a letter, then sharps or flats.

A lower-case b behind a letter is a flat; with Shift it is always the note B. What is typed takes effect at
once and is undone as one change.
"""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QObject

from app.document.document import LessonDocument
from app.draft.note_editing import NoteEditing
from app.widgets.selection import Place, Selection
from core.edits.rename_note import rename_note
from core.song.pitch import LETTERS, NoteName

MOST_SIGNS: Final = 2
"""Triple sharps and flats exist in theory only; nobody types them."""


class NameTyping(QObject):
    """The name that is being typed for the selected note."""

    def __init__(self, document: LessonDocument, selection: Selection, notes: NoteEditing) -> None:
        super().__init__(notes)
        self._document = document
        self._selection = selection
        self._notes = notes
        self._typed = ""
        self._place: Place | None = None
        self._is_renaming = False
        selection.changed.connect(self._moved_away)
        document.song_changed.connect(self._song_changed)

    @property
    def typed(self) -> str:
        """What has been typed for this note so far, such as ``E`` or ``Eb``."""
        return self._typed

    def type(self, character: str) -> bool:
        """Take one typed character; whether it was one of a note's name."""
        if self._selection.place.note(self._document.song) is None:
            return False
        if self._typed and character in ("#", "♯", "b", "♭"):
            sign = "#" if character in ("#", "♯") else "b"
            signs = self._typed[1:]
            if len(signs) < MOST_SIGNS and signs in ("", sign):
                self._rename(self._typed + sign)
            return True
        if character.upper() in LETTERS and len(character) == 1:
            self.end()
            self._rename(character.upper())
            return True
        return False

    def take_back(self) -> bool:
        """Take back the last character typed; whether there was one."""
        if not self._typed:
            return False
        if len(self._typed) > 1:
            self._rename(self._typed[:-1])
        else:
            self.cancel()
        return True

    def cancel(self) -> bool:
        """Give the note the name it had; whether a name was being typed."""
        if not self._typed or self._place is None:
            return False
        self._typed = ""
        self._document.cancel_typing(self._run)
        return True

    def end(self) -> None:
        """Let what was typed stand."""
        if self._typed:
            self._typed = ""
            self._document.end_typing()

    @property
    def _run(self) -> str:
        return f"name of note {self._place}"

    def _rename(self, name: str) -> None:
        if not self._typed:
            self._place = self._selection.place
        place = self._place or self._selection.place
        parsed = NoteName.parse(name)
        label = self.tr("name of a note")
        self._is_renaming = True
        done = self._document.apply(lambda song: rename_note(song, place.part, place.index, parsed), label, self._run)
        self._is_renaming = False
        if not done:
            return
        self._typed = name
        note = place.note(self._document.song)
        if note is not None:
            self._notes.heard.emit(note.pitch.midi)

    def _song_changed(self) -> None:
        """What was typed has been undone, or something else was done: what is typed next begins anew."""
        if not self._is_renaming:
            self.end()

    def _moved_away(self) -> None:
        if self._selection.place != self._place:
            self.end()

"""Notes written by playing: each key that is struck, on the screen or on a keyboard, is the next note of the part."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from app.document.document import LessonDocument
from app.widgets.selection import Kind, Place, Selection, note_place
from core.edits.add_note import add_note
from core.edits.rename_note import rename_note
from core.song.errors import DomainError
from core.song.pitch import Pitch
from core.song.song import Song
from core.theory.spelling import name_in_key


def pitch_in_key(song: Song, tick: int, midi: int) -> Pitch | None:
    """A key of the piano as it is spelled in the key of a moment of the song; None for one that no piano has."""
    name = name_in_key(midi % 12, song.key_at(tick))
    for octave in range(midi // 12 - 2, midi // 12 + 1):
        try:
            pitch = Pitch.of(name, octave)
        except DomainError:
            continue
        if pitch.midi == midi:
            return pitch
    return None


class KeyEntry(QObject):
    """Writes what is played behind the selected note, a beat each, one note after the other, while it is switched on.

    A note that begins there already is renamed; nothing else of the part moves.
    """

    changed = Signal(bool)
    """It was switched on or off."""

    def __init__(self, document: LessonDocument, selection: Selection, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._on = False

    def switch(self, on: bool) -> None:
        """Write keys from now on, or no longer."""
        if on != self._on:
            self._on = on
            self.changed.emit(on)

    def key(self, midi: int) -> None:
        """A key was struck."""
        if self._on:
            self._write(midi)

    def _write(self, midi: int) -> None:
        song, place = self._document.song, self._selection.place
        part, number = song.parts[place.part - 1], place.part
        note = place.note(song)
        onset = note.end if note is not None and note.melody else place.onset(song) or 0
        if onset >= part.duration:
            self._document.message.emit(self.tr("The part is full; Ctrl+B adds a bar, Down goes to the next part."))
            return
        tick = song.part_onsets[number - 1] + onset
        pitch = pitch_in_key(song, tick, midi)
        if pitch is None:
            return
        there = note_place(song, number, onset)
        if there.kind is Kind.NOTE:
            done = self._document.apply(lambda song: rename_note(song, number, there.index, pitch), self.tr("note"))
        else:
            following = next((other.onset for other in part.melody if other.onset > onset), part.duration)
            length = min(song.metre_at(tick).unit_ticks, following - onset)
            done = self._document.apply(lambda song: add_note(song, number, onset, length, pitch), self.tr("new note"))
        if done:
            self._select(number, onset, pitch)

    def _select(self, number: int, onset: int, pitch: Pitch) -> None:
        found = note_place(self._document.song, number, onset, pitch.midi)
        self._selection.select(found if found.kind is Kind.NOTE else Place(number))

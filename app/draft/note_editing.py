"""Changes to the selected note, and adding notes: what keys, menus and the mouse have in common."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import QObject, Signal

from app.document.document import LessonDocument
from app.widgets.row_drag import grid, semitone_away, step_in_key
from app.widgets.selection import Place, Selection, note_place
from core.edits.add_note import add_note
from core.edits.move_note import move_note
from core.edits.remove_note import remove_note
from core.edits.resize_note import resize_note
from core.edits.set_finger import set_finger
from core.song.errors import DomainError, EditError
from core.song.key import Key
from core.song.metre import Metre
from core.song.note import Note
from core.song.pitch import MIDDLE_C, Pitch
from core.song.song import Song


class NoteEditing(QObject):
    """Changes the selected note and keeps it selected."""

    heard = Signal(int)
    """MIDI number of a note that was named or moved, to be heard."""

    def __init__(self, document: LessonDocument, selection: Selection, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection

    @property
    def _song(self) -> Song:
        return self._document.song

    def _chosen(self) -> tuple[Place, Note] | None:
        """The selected note, or None after saying that one is needed."""
        place = self._selection.place
        note = place.note(self._song)
        if note is None:
            self._document.message.emit(self.tr("Select a note first: click it, or press an arrow key on the sheet."))
            return None
        return place, note

    def move_by_step(self, steps: int) -> None:
        """Move the selected note up (negative: down) in the key."""
        chosen = self._chosen()
        if chosen:
            place, note = chosen
            self._to_pitch(place, note, lambda: step_in_key(note.pitch, steps, self._key_at(place, note)))

    def move_by_semitone(self, semitones: int) -> None:
        """Move the selected note up (negative: down) by semitones."""
        chosen = self._chosen()
        if chosen:
            place, note = chosen
            self._to_pitch(place, note, lambda: semitone_away(note.pitch, semitones, self._key_at(place, note)))

    def move_in_time(self, steps: int) -> None:
        """Move the selected note later (negative: earlier) by steps of the grid."""
        chosen = self._chosen()
        if chosen:
            place, note = chosen
            step = grid(self._metre_at(place, note.onset))
            self.drop(place, max(0, note.onset + steps * step), note.pitch)

    def lengthen(self, steps: int) -> None:
        """Make the selected note longer (negative: shorter) by steps of the grid."""
        chosen = self._chosen()
        if chosen:
            place, note = chosen
            step = grid(self._metre_at(place, note.onset))
            self.resize(place, max(min(note.duration, step), note.duration + steps * step))

    def resize(self, place: Place, duration: int) -> None:
        """Give a note another length."""
        label = self.tr("change of a note's length")
        self._document.apply(lambda song: resize_note(song, place.part, place.index, duration), label)

    def drop(self, place: Place, onset: int, pitch: Pitch) -> None:
        """Put a note at another moment and pitch."""
        label = self.tr("move of a note")
        if self._document.apply(lambda song: move_note(song, place.part, place.index, onset, pitch), label):
            self._selection.select(note_place(self._song, place.part, onset, pitch.midi))
            self.heard.emit(pitch.midi)

    def add_at(self, part: int, onset: int, pitch: Pitch, duration: int | None = None) -> None:
        """Add a note at a moment; a beat long where no length is given."""
        beat = self._song.metre_at(self._song.part_onsets[part - 1] + onset).unit_ticks
        length = duration or beat
        if self._document.apply(lambda song: add_note(song, part, onset, length, pitch), self.tr("new note")):
            self._selection.select(note_place(self._song, part, onset, pitch.midi))
            self.heard.emit(pitch.midi)

    def add(self) -> None:
        """Add a note behind the selected one: in the gap there, or by giving it the second half of its time."""
        place = self._selection.place
        note = place.note(self._song)
        if note is None or not note.melody:
            self._add_to_part(place.part)
            return
        part = self._song.parts[place.part - 1]
        onset = note.end
        following = next((other.onset for other in part.melody if other.onset > note.onset), part.duration)
        if onset >= following:
            step = grid(self._metre_at(place, note.onset))
            onset = note.onset + (note.duration // 2 // step) * step
        if onset <= note.onset or onset >= part.duration:
            self._document.message.emit(self.tr("There is no room behind this note; make it longer or shorter first."))
            return
        beat = self._metre_at(place, onset).unit_ticks
        self.add_at(place.part, onset, note.pitch, min(beat, following - onset))

    def remove(self) -> None:
        """Remove the selected note and select its neighbour."""
        chosen = self._chosen()
        if chosen is None:
            return
        place, _ = chosen
        if self._document.apply(lambda song: remove_note(song, place.part, place.index), self.tr("removal of a note")):
            left = len(self._song.parts[place.part - 1].notes)
            beside = replace(place, index=min(place.index, left - 1)) if left else Place(place.part)
            self._selection.select(beside)

    def finger(self, finger: int | None) -> None:
        """Give the selected note a finger of one's own, or None to have it computed again."""
        chosen = self._chosen()
        if chosen:
            place, _ = chosen
            label = self.tr("fingering")
            self._document.apply(lambda song: set_finger(song, place.part, place.index, finger), label)

    def _to_pitch(self, place: Place, note: Note, pitch: Callable[[], Pitch]) -> None:
        try:
            wanted = pitch()
        except (DomainError, EditError) as error:
            self._document.message.emit(str(error))
            return
        self.drop(place, note.onset, wanted)

    def _add_to_part(self, number: int) -> None:
        """Add a note in the first silence of a part."""
        part = self._song.parts[number - 1]
        here = 0
        for note in part.melody:
            if note.onset > here:
                break
            here = max(here, note.end)
        if here >= part.duration:
            self._document.message.emit(self.tr("This part has no silence to put a note in; select a note to divide."))
            return
        following = next((note.onset for note in part.melody if note.onset > here), part.duration)
        beat = self._song.metre_at(self._song.part_onsets[number - 1] + here).unit_ticks
        before = [note for note in part.melody if note.onset < here]
        pitch = before[-1].pitch if before else Pitch.of(self._song.key.tonic, MIDDLE_C.octave)
        self.add_at(number, here, pitch, min(beat, following - here))

    def _key_at(self, place: Place, note: Note) -> Key:
        return self._song.key_at(self._song.part_onsets[place.part - 1] + note.onset)

    def _metre_at(self, place: Place, onset: int) -> Metre:
        return self._song.metre_at(self._song.part_onsets[place.part - 1] + onset)

"""Changes to the selected note, and adding notes: what keys, menus and the mouse have in common."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal

from app.document.document import LessonDocument
from app.widgets.change import grid
from app.widgets.selection import Kind, Place, Selection, melody_places, note_place, places_at
from core.edits.add_note import add_note
from core.edits.chosen_notes import Chosen, placed, raised
from core.edits.copy_notes import Phrase, phrase_of, push_phrase, push_repeat, put_phrase, repeat_notes
from core.edits.move_note import move_note
from core.edits.move_notes import move_notes
from core.edits.remove_notes import remove_notes
from core.edits.resize_note import resize_note
from core.edits.set_finger import set_finger
from core.edits.set_note_hand import set_note_hand
from core.edits.set_ornament import set_ornament
from core.song.metre import Metre
from core.song.note import Hand, Note
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
        self._copied: Phrase | None = None

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
        """Move the selected notes, or the selected part's melody, up (negative: down) in the key."""
        self._move(self._notes_or_part(), self.tr("notes up or down"), steps=steps)

    def move_by_semitone(self, semitones: int) -> None:
        """Move the selected notes, or the selected part's melody, up (negative: down) by semitones."""
        self._move(self._notes_or_part(), self.tr("notes up or down"), semitones=semitones)

    def move_in_time(self, steps: int) -> None:
        """Move the selected notes later (negative: earlier) by steps of the grid."""
        chosen = self._chosen()
        if chosen is None:
            return
        place, note = chosen
        ticks = steps * grid(self._metre_at(place, note.onset))
        if self._selection.several:
            self._move(self._selection.notes, self.tr("move of notes"), ticks=ticks)
        else:
            self.drop(place, max(0, note.onset + ticks), note.pitch)

    def lengthen(self, steps: int) -> None:
        """Make the selected notes longer (negative: shorter) by steps of the grid."""
        chosen = self._chosen()
        if chosen is None:
            return
        step = grid(self._metre_at(chosen[0], chosen[1].onset))
        notes = self._selection.notes

        def longer(song: Song) -> Song:
            for number, index in notes:
                note = song.parts[number - 1].notes[index]
                if not note.is_grace:
                    wanted = max(min(note.duration, step), note.duration + steps * step)
                    song = resize_note(song, number, index, wanted)
            return song

        self._change(notes, longer, self.tr("change of a note's length"))

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
        """Remove the selected notes and select the neighbour of the first."""
        chosen = self._chosen()
        if chosen is None:
            return
        notes = self._selection.notes
        number, index = notes[0]
        label = self.tr("removal of notes") if len(notes) > 1 else self.tr("removal of a note")
        if self._document.apply(lambda song: remove_notes(song, notes), label):
            left = len(self._song.parts[number - 1].notes)
            self._selection.select(Place(number, Kind.NOTE, min(index, left - 1)) if left else Place(number))

    def finger(self, finger: int | None) -> None:
        """Give the selected notes a finger of one's own, or None to have them computed again."""
        if self._chosen() is None:
            return

        notes = self._selection.notes

        def fingered(song: Song) -> Song:
            for number, index in notes:
                song = set_finger(song, number, index, finger)
            return song

        self._change(notes, fingered, self.tr("fingering"))

    def ornament(self, ornament: str) -> None:
        """Give the selected notes an ornament, or take it back where all of them have it."""
        if self._chosen() is None:
            return
        notes = self._selection.notes
        has_all = all(self._song.parts[number - 1].notes[index].ornament == ornament for number, index in notes)
        wanted = "" if has_all else ornament

        def ornamented(song: Song) -> Song:
            for number, index in notes:
                song = set_ornament(song, number, index, wanted)
            return song

        self._change(notes, ornamented, self.tr("ornament"))

    def give_to(self, hand: Hand) -> None:
        """Give the selected notes to a hand."""
        if self._chosen() is not None:
            notes = self._selection.notes
            self._change(notes, lambda song: set_note_hand(song, notes, hand), self.tr("choice of a hand"))

    def select_all(self) -> None:
        """Select the melody of the selected part; where it is selected already, that of the whole song."""
        number = self._selection.place.part
        order = melody_places(self._song)
        here = [place for place in order if place.part == number]
        if not order:
            self._document.message.emit(self.tr("There are no notes to select yet."))
        elif here and not self._selection.several.issuperset(here):
            self._selection.select_several(here)
        else:
            self._selection.select_several(order, self._selection.place)

    def copy(self) -> bool:
        """Keep the selected notes, or the selected part's melody, to be put in elsewhere; whether there were any."""
        notes = self._notes_or_part()
        if not notes:
            return False
        self._copied = phrase_of(self._song, notes)
        return True

    def cut(self) -> None:
        """Copy the selected notes and remove them."""
        if self._chosen() is not None and self.copy():
            self.remove()

    def paste(self) -> None:
        """Put what was copied in where the selected note, chord or part begins, in place of what begins under it."""
        self._paste(put_phrase)

    def push(self) -> None:
        """Put what was copied in before the selected note, chord or part and move the part's later notes on."""
        self._paste(push_phrase)

    def _paste(self, put: Callable[[Song, int, Phrase], Song]) -> None:
        phrase, place = self._copied, self._selection.place
        if phrase is None:
            self._document.message.emit(self.tr("Copy some notes first, with Ctrl+C."))
            return
        tick = self._song.part_onsets[place.part - 1] + (place.onset(self._song) or 0)
        if self._document.apply(lambda song: put(song, tick, phrase), self.tr("copied notes")):
            self._select_phrase(tick, phrase)

    def repeat(self) -> None:
        """Repeat the selected notes right behind themselves, in place of what is there."""
        self._repeat(repeat_notes)

    def push_repeat(self) -> None:
        """Repeat the selected notes right behind themselves and move the part's later notes on."""
        self._repeat(push_repeat)

    def _repeat(self, repeat: Callable[[Song, Chosen], Song]) -> None:
        notes = self._notes_or_part()
        if not notes:
            return
        phrase, tick = phrase_of(self._song, notes), placed(self._song, notes)[0][0]
        if self._document.apply(lambda song: repeat(song, notes), self.tr("repeated notes")):
            self._select_phrase(tick + phrase.duration, phrase)

    def _select_phrase(self, tick: int, phrase: Phrase) -> None:
        pitches = [(tick + offset, note.pitch.midi) for offset, note in phrase.notes]
        self._selection.select_several(places_at(self._song, pitches))
        self.heard.emit(pitches[0][1])

    def _notes_or_part(self) -> Chosen:
        """The selected notes, or the melody of the part that is selected as a whole; nothing after saying why."""
        place = self._selection.place
        if place.kind is Kind.PART:
            notes = tuple((at.part, at.index) for at in melody_places(self._song) if at.part == place.part)
            if not notes:
                self._document.message.emit(self.tr("This part has no notes yet."))
            return notes
        return self._selection.notes if self._chosen() else ()

    def _move(self, notes: Chosen, label: str, *, ticks: int = 0, steps: int = 0, semitones: int = 0) -> None:
        """Move notes together, keep them selected, and let the one that counts be heard."""
        if not notes:
            return
        before = self._song
        whole_part = self._selection.place.kind is Kind.PART
        if not self._document.apply(lambda song: move_notes(song, notes, ticks, steps, semitones), label):
            return
        moved = [
            (tick + ticks, raised(before, tick, note, steps, semitones).pitch.midi)
            for tick, note in placed(before, notes)
        ]
        place = self._selection.place
        lead = notes.index((place.part, place.index)) if (place.part, place.index) in notes else 0
        if not whole_part:
            at_lead = places_at(self._song, moved[lead : lead + 1])
            self._selection.select_several(places_at(self._song, moved), next(iter(at_lead), None))
        if steps or semitones:
            self.heard.emit(moved[lead][1])

    def _change(self, notes: Chosen, edit: Callable[[Song], Song], label: str) -> None:
        """Change notes that stay where they are, and keep them selected."""
        lead = self._selection.place
        if self._document.apply(edit, label):
            self._selection.select_several((Place(number, Kind.NOTE, index) for number, index in notes), lead)

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

    def _metre_at(self, place: Place, onset: int) -> Metre:
        return self._song.metre_at(self._song.part_onsets[place.part - 1] + onset)

"""What is selected on the lesson sheet: a part, or a note or chord in it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum

from PySide6.QtCore import QObject, Signal

from core.song.chord import Chord
from core.song.note import Note
from core.song.song import Song


class Kind(Enum):
    """What kind of thing is selected."""

    PART = "part"
    NOTE = "note"
    CHORD = "chord"


@dataclass(frozen=True, slots=True)
class Place:
    """A place on the sheet.

    Attributes:
        part: part number from 1.
        kind: a part as a whole, a note or a chord.
        index: index of the note in ``part.notes`` or of the chord in ``part.chords``; 0 for a part.
    """

    part: int = 1
    kind: Kind = Kind.PART
    index: int = 0

    def note(self, song: Song) -> Note | None:
        """The note here, or None where something else is selected."""
        if self.kind is not Kind.NOTE or self.part > len(song.parts):
            return None
        notes = song.parts[self.part - 1].notes
        return notes[self.index] if self.index < len(notes) else None

    def chord(self, song: Song) -> Chord | None:
        """The chord here, or None where something else is selected."""
        if self.kind is not Kind.CHORD or self.part > len(song.parts):
            return None
        chords = song.parts[self.part - 1].chords
        return chords[self.index] if self.index < len(chords) else None

    def onset(self, song: Song) -> int | None:
        """Ticks from the part's start at which what is here begins; None for a part as a whole."""
        chosen = self.note(song) or self.chord(song)
        return chosen.onset if chosen else None


def valid_place(place: Place, song: Song) -> Place:
    """The nearest place that a song has: its parts, notes and chords may have become fewer."""
    part = min(max(1, place.part), len(song.parts))
    if part != place.part:
        return Place(part)
    held = song.parts[part - 1]
    things = held.notes if place.kind is Kind.NOTE else held.chords
    if place.kind is Kind.PART:
        return place
    if not things:
        return Place(part)
    return replace(place, index=min(place.index, len(things) - 1))


def note_place(song: Song, part: int, onset: int, midi: int | None = None) -> Place:
    """The place of the melody note that begins at a moment of a part (of a certain key where given)."""
    for index, note in enumerate(song.parts[part - 1].notes):
        if note.onset == onset and note.melody and midi in (None, note.pitch.midi):
            return Place(part, Kind.NOTE, index)
    return Place(part)


def chord_place(song: Song, part: int, onset: int) -> Place:
    """The place of the chord that begins at a moment of a part."""
    for index, chord in enumerate(song.parts[part - 1].chords):
        if chord.onset == onset:
            return Place(part, Kind.CHORD, index)
    return Place(part)


class Selection(QObject):
    """The one place that is selected."""

    changed = Signal(object, object)
    """The place before and the place after."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._place = Place()

    @property
    def place(self) -> Place:
        """What is selected."""
        return self._place

    def select(self, place: Place) -> None:
        """Select another place."""
        before = self._place
        if place != before:
            self._place = place
            self.changed.emit(before, place)

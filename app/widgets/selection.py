"""What is selected on the lesson sheet: a part, or a note or chord in it."""

from __future__ import annotations

from collections.abc import Iterable
from enum import Enum

from msgspec import Struct
from msgspec.structs import replace
from PySide6.QtCore import QObject, Signal

from core.song.chord import Chord
from core.song.note import Hand, Note
from core.song.song import Song


class Kind(Enum):
    """What kind of thing is selected."""

    PART = "part"
    NOTE = "note"
    CHORD = "chord"


class Place(Struct, frozen=True):
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
    """The place of the melody note that begins at a moment of a part (of a certain key where given).

    Where the melody has none, another note's; else the part.
    """
    found = [
        (not note.melody, index)
        for index, note in enumerate(song.parts[part - 1].notes)
        if note.onset == onset and midi in (None, note.pitch.midi)
    ]
    return Place(part, Kind.NOTE, min(found)[1]) if found and (midi or not min(found)[0]) else Place(part)


def chord_place(song: Song, part: int, onset: int) -> Place:
    """The place of the chord that begins at a moment of a part."""
    for index, chord in enumerate(song.parts[part - 1].chords):
        if chord.onset == onset:
            return Place(part, Kind.CHORD, index)
    return Place(part)


def moment_place(song: Song, tick: int) -> Place:
    """The place that a moment of the song, in ticks from its start, is about.

    A melody note that begins there, else a chord that does, else the note or chord that sounds there; else the part.
    """
    number = song.part_at(tick)
    onset = tick - song.part_onsets[number - 1]
    begins = note_place(song, number, onset)
    if begins.kind is Kind.PART:
        begins = chord_place(song, number, onset)
    if begins.kind is not Kind.PART:
        return begins
    part = song.parts[number - 1]
    notes = [place for place, note in enumerate(part.notes) if note.melody and note.onset <= onset < note.end]
    if notes:
        return Place(number, Kind.NOTE, notes[0])
    chords = [place for place, chord in enumerate(part.chords) if chord.onset <= onset < chord.end]
    return Place(number, Kind.CHORD, chords[0]) if chords else Place(number)


def places_at(song: Song, notes: Iterable[tuple[int, int]]) -> frozenset[Place]:
    """The places of notes by their onset in ticks from the song's start and their MIDI number."""
    wanted = set(notes)
    return frozenset(
        Place(number, Kind.NOTE, index)
        for number, (start, part) in enumerate(zip(song.part_onsets, song.parts, strict=True), 1)
        for index, note in enumerate(part.notes)
        if (start + note.onset, note.pitch.midi) in wanted
    )


def struck_with(place: Place, song: Song) -> list[Place]:
    """The places of everything that a written left hand strikes with a note of its own; of other notes just it."""
    note = place.note(song)
    if note is None or note.melody or note.hand is not Hand.LEFT:
        return [place]
    return [
        Place(place.part, Kind.NOTE, index)
        for index, other in enumerate(song.parts[place.part - 1].notes)
        if other.hand is Hand.LEFT and other.onset == note.onset
    ]


def melody_places(song: Song) -> list[Place]:
    """The places of the melody's notes, in order."""
    return [
        Place(number, Kind.NOTE, index)
        for number, part in enumerate(song.parts, 1)
        for index, note in enumerate(part.notes)
        if note.melody
    ]


def stretch_of(places: Iterable[Place], song: Song) -> tuple[int, int]:
    """Ticks from the song's start at which the first of some notes begins and the last ends."""
    found = [(song.part_onsets[place.part - 1], note) for place in places if (note := place.note(song)) is not None]
    start = min(begin + note.onset for begin, note in found)
    return start, min(song.length, max(start + 1, *(begin + note.end for begin, note in found)))


class Selection(QObject):
    """The one place that is selected, and with it perhaps other notes."""

    changed = Signal(object, object)
    """The place before and the place after; also where only the other notes have changed."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._place = Place()
        self._several: frozenset[Place] = frozenset()
        self._anchor: Place | None = None

    @property
    def place(self) -> Place:
        """What is selected; of several notes the one that was selected last."""
        return self._place

    @property
    def several(self) -> frozenset[Place]:
        """The places of all selected notes where there are several; else nothing."""
        return self._several

    @property
    def notes(self) -> tuple[tuple[int, int], ...]:
        """Every selected note by its part's number and its index, in order; empty where none is selected."""
        if self._several:
            return tuple(sorted((place.part, place.index) for place in self._several))
        return ((self._place.part, self._place.index),) if self._place.kind is Kind.NOTE else ()

    def select(self, place: Place) -> None:
        """Select another place, and nothing with it."""
        self._anchor = None
        self._take(place, frozenset())

    def select_several(self, places: Iterable[Place], lead: Place | None = None) -> None:
        """Select notes together; `lead`, or the first of them, is the place that counts where one is wanted.

        With a single note that is selected; with none everything stays.
        """
        found = sorted(places, key=lambda place: (place.part, place.index))
        if found:
            self._anchor = None
            self._take(lead if lead in found else found[0], frozenset(found) if len(found) > 1 else frozenset())

    def extend_to(self, place: Place, song: Song) -> None:
        """Select the melody's notes from where the selection began to a place."""
        order = melody_places(song)
        anchor = self._anchor or self._place
        if anchor.note(song) is None and place in order:
            anchor = next((other for other in order if other.part == anchor.part), place)
        if place not in order or anchor not in order:
            self.select(place)
            return
        first, last = sorted((order.index(anchor), order.index(place)))
        self._take(place, frozenset(order[first : last + 1]) if first < last else frozenset())
        self._anchor = anchor

    def _take(self, place: Place, several: frozenset[Place]) -> None:
        before = (self._place, self._several)
        if (place, several) != before:
            self._place, self._several = place, several
            self.changed.emit(before[0], place)

"""Changes to chords: naming, adding, removing, moving."""

from __future__ import annotations

from msgspec.structs import replace
from PySide6.QtCore import QObject

from app.document.document import LessonDocument
from app.widgets.change import grid
from app.widgets.chord_places import why_not_there
from app.widgets.selection import Kind, Place, Selection, chord_place
from core.edits.add_chord import add_chord
from core.edits.move_chord import move_chord
from core.edits.remove_chord import remove_chord
from core.edits.rename_chord import rename_chord
from core.song.chord import ChordSymbol
from core.song.errors import ChordSymbolError
from core.song.part import Part
from core.song.song import Song
from core.teaching.naming import Names
from core.theory.chord_completion import complete_chord
from core.theory.chord_symbols import parse_chord


class ChordEditing(QObject):
    """Changes the selected chord and keeps it selected."""

    def __init__(self, document: LessonDocument, selection: Selection, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection

    @property
    def _song(self) -> Song:
        return self._document.song

    def fault_in(self, text: str) -> str | None:
        """What is wrong with a chord's name as typed so far, with the place; None where it is one."""
        if not text.strip():
            return self.tr("A chord needs a name, such as Em, A7 or C/E; N.C. where the left hand rests.")
        try:
            parse_chord(text.strip())
        except ChordSymbolError as error:
            return str(error)
        return None

    def complete(self, part: int, onset: int, text: str) -> tuple[str, ...]:
        """Names that go on from what has been typed for the chord at a moment of a part, the likeliest first."""
        key = self._song.key_at(self._song.part_onsets[part - 1] + onset)
        return complete_chord(self._song, key, text)

    def name(self, part: int, onset: int, text: str) -> bool:
        """Name the chord that begins at a moment of a part, or begin a new one there; whether that could be done."""
        fault = self.fault_in(text)
        if fault:
            self._document.message.emit(fault)
            return False
        symbol = parse_chord(text.strip())
        place = chord_place(self._song, part, onset)
        if place.kind is Kind.CHORD:
            label = self.tr("name of a chord")
            done = self._document.apply(lambda song: rename_chord(song, part, place.index, symbol), label)
        else:
            done = self._document.apply(lambda song: _added(song, part, onset, symbol), self.tr("new chord"))
        if done:
            self._selection.select(chord_place(self._song, part, onset))
        return done

    def place_for_new(self) -> tuple[int, int] | None:
        """Part and moment at which a new chord would begin, by what is selected; None after saying why not.

        With a note selected it begins with the note; with a chord, halfway through it, on the grid.
        """
        place = self._selection.place
        part = self._song.parts[place.part - 1]
        note = place.note(self._song)
        if note is not None:
            return place.part, note.onset
        chord = place.chord(self._song)
        if chord is None:
            free = _first_silence(part)
            if free is None:
                self._document.message.emit(self.tr("Select the note with which the new chord should begin."))
                return None
            return place.part, free
        step = grid(self._song.metre_at(self._song.part_onsets[place.part - 1] + chord.onset))
        onset = chord.onset + chord.duration // 2 // step * step
        if onset <= chord.onset:
            self._document.message.emit(self.tr("This chord is too short to begin another one in it."))
            return None
        return place.part, onset

    def remove(self) -> None:
        """Remove the selected chord and select its neighbour."""
        place = self._selection.place
        if place.chord(self._song) is None:
            self._document.message.emit(self.tr("Select a chord first: click it, or press the down arrow on a note."))
            return
        label = self.tr("removal of a chord")
        if self._document.apply(lambda song: remove_chord(song, place.part, place.index), label):
            left = len(self._song.parts[place.part - 1].chords)
            self._selection.select(replace(place, index=min(place.index, left - 1)) if left else Place(place.part))

    def move(self, place: Place, onset: int) -> None:
        """Let a chord begin at another moment, or say what is in the way."""
        reason = why_not_there(self._song, place, onset, Names.of_part(self._song, place.part))
        if reason:
            self._document.message.emit(reason)
            return
        label = self.tr("move of a chord")
        if self._document.apply(lambda song: move_chord(song, place.part, place.index, onset), label):
            self._selection.select(chord_place(self._song, place.part, onset))

    def move_in_time(self, steps: int) -> None:
        """Let the selected chord begin later (negative: earlier) by steps of the grid."""
        place = self._selection.place
        chord = place.chord(self._song)
        if chord is None:
            return
        step = grid(self._song.metre_at(self._song.part_onsets[place.part - 1] + chord.onset))
        onset = chord.onset + steps * step
        self.move(place, max(0, onset) if chord.onset else onset)


def _added(song: Song, part: int, onset: int, symbol: ChordSymbol) -> Song:
    """A chord that lasts until the next one, or to the part's end."""
    return add_chord(song, part, onset, song.parts[part - 1].duration - onset, symbol)


def _first_silence(part: Part) -> int | None:
    """The first moment of a part at which no chord lasts."""
    here = 0
    for chord in part.chords:
        if chord.onset > here:
            break
        here = chord.end
    return here if here < part.duration else None

"""What dragging on a row of the lesson sheet means: the change it would make, at every moment of the drag."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from PySide6.QtCore import QCoreApplication

from app.widgets.selection import Place, chord_place, note_place
from core.drawing.lesson_sheet import RowLayout
from core.edits.move_chord import move_chord
from core.edits.move_note import move_note
from core.edits.resize_note import resize_note
from core.song.chord import Chord
from core.song.key import Key
from core.song.metre import Metre
from core.song.note import Note
from core.song.pitch import LETTERS, Pitch
from core.song.song import Song
from core.theory.spelling import spell

CONTEXT = "Drag"
STEPS_IN_OCTAVE = 7
SEMITONES_IN_OCTAVE = 12


def grid(metre: Metre) -> int:
    """The step in which notes move and grow: half a beat, in a compound metre its third."""
    return metre.unit_ticks if metre.is_compound else metre.unit_ticks // 2


def step_in_key(pitch: Pitch, steps: int, key: Key) -> Pitch:
    """The pitch some scale steps higher (negative: lower), as the key's signature has it.

    Raises DomainError past the end of every keyboard.
    """
    if not steps:
        return pitch
    octave, index = divmod(pitch.staff_step + steps, STEPS_IN_OCTAVE)
    return Pitch.of(key.altered(LETTERS[index]), octave)


def semitone_away(pitch: Pitch, semitones: int, key: Key) -> Pitch:
    """The pitch some semitones higher (negative: lower), spelled as the key would have it.

    Raises DomainError past the end of every keyboard.
    """
    return spell([pitch.midi + semitones], key)[0] if semitones else pitch


@dataclass(frozen=True, slots=True)
class Change:
    """A change to the song, what it is called, and what is selected after it.

    Attributes:
        edit: the song before in, the song after out; raises EditError to refuse.
        label: what the change is called in the menu.
        select: the place to select in the song after.
        heard: MIDI number of a note to be heard, or None.
    """

    edit: Callable[[Song], Song]
    label: str
    select: Callable[[Song], Place]
    heard: int | None = None


class Drag(Protocol):
    """A drag that has begun."""

    def change(self, right: float, down: float, *, chromatic: bool) -> Change | None:
        """The change that letting go would make, by pixels moved at 100 %; None where it would make none.

        Raises DomainError where it would leave every keyboard.
        """


@dataclass(frozen=True, slots=True)
class NoteDrag:
    """A note taken by its bead: sideways in time, up and down in pitch."""

    place: Place
    note: Note
    layout: RowLayout
    key: Key
    metre: Metre

    def change(self, right: float, down: float, *, chromatic: bool) -> Change | None:
        """Move in steps of the grid, and of the key (chromatically: of semitones)."""
        step = grid(self.metre)
        onset = self.note.onset + round(right / self.layout.pixels_per_tick / step) * step
        onset = max(0, min(onset, self.layout.duration - 1))
        height = self.layout.style.step_height
        if chromatic:
            semitones = round(-down / (height * STEPS_IN_OCTAVE / SEMITONES_IN_OCTAVE))
            pitch = semitone_away(self.note.pitch, semitones, self.key)
        else:
            pitch = step_in_key(self.note.pitch, round(-down / height), self.key)
        if (onset, pitch) == (self.note.onset, self.note.pitch):
            return None
        place = self.place
        return Change(
            lambda song: move_note(song, place.part, place.index, onset, pitch),
            QCoreApplication.translate(CONTEXT, "move of a note"),
            lambda song: note_place(song, place.part, onset, pitch.midi),
            pitch.midi if pitch != self.note.pitch else None,
        )


@dataclass(frozen=True, slots=True)
class WireDrag:
    """A note taken by its wire's end: longer or shorter."""

    place: Place
    note: Note
    layout: RowLayout
    metre: Metre

    def change(self, right: float, down: float, *, chromatic: bool) -> Change | None:  # noqa: ARG002 - sideways only
        """Grow in steps of the grid, down to one step (or to the length it has, if that is less)."""
        step = grid(self.metre)
        shortest = min(step, self.note.duration)
        end = self.note.end + round(right / self.layout.pixels_per_tick / step) * step
        duration = max(shortest, end - self.note.onset)
        if duration == self.note.duration:
            return None
        place = self.place
        return Change(
            lambda song: resize_note(song, place.part, place.index, duration),
            QCoreApplication.translate(CONTEXT, "change of a note's length"),
            lambda song: note_place(song, place.part, self.note.onset, self.note.pitch.midi),
        )


@dataclass(frozen=True, slots=True)
class ChordDrag:
    """A chord taken by its bar: it begins earlier or later."""

    place: Place
    chord: Chord
    layout: RowLayout
    metre: Metre

    def change(self, right: float, down: float, *, chromatic: bool) -> Change | None:  # noqa: ARG002 - sideways only
        """Move its beginning in steps of the grid."""
        step = grid(self.metre)
        onset = max(0, self.chord.onset + round(right / self.layout.pixels_per_tick / step) * step)
        if onset == self.chord.onset:
            return None
        place = self.place
        return Change(
            lambda song: move_chord(song, place.part, place.index, onset),
            QCoreApplication.translate(CONTEXT, "move of a chord"),
            lambda song: chord_place(song, place.part, onset),
        )


def begin_drag(kind: str, place: Place, song: Song, layout: RowLayout) -> Drag | None:
    """The drag that begins on a subject of a kind (`core.drawing.shapes.Subject`), or None where there is none."""
    onset = song.part_onsets[place.part - 1]
    note, chord = place.note(song), place.chord(song)
    if note is not None:
        moment = onset + note.onset
        if kind == "wire-end":
            return WireDrag(place, note, layout, song.metre_at(moment))
        return NoteDrag(place, note, layout, song.key_at(moment), song.metre_at(moment))
    if chord is not None:
        return ChordDrag(place, chord, layout, song.metre_at(onset + chord.onset))
    return None

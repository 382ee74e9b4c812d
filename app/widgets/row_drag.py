"""What dragging on a row of the lesson sheet means: the change it would make, at every moment of the drag."""

from __future__ import annotations

from msgspec import Struct
from PySide6.QtCore import QCoreApplication

from app.widgets.change import Change, Drag, grid
from app.widgets.chord_drag import begin_chord_drag
from app.widgets.selection import Place, note_place, places_at
from core.drawing.lesson_sheet import RowLayout
from core.edits.chosen_notes import placed, raised
from core.edits.move_note import move_note
from core.edits.move_notes import move_notes
from core.edits.resize_note import resize_note
from core.song.key import Key
from core.song.metre import Metre
from core.song.note import Note
from core.song.song import Song
from core.theory.scale_steps import SEMITONES_IN_OCTAVE, STEPS_IN_OCTAVE, semitone_away, step_in_key

CONTEXT = "Drag"


class NoteDrag(Struct, frozen=True):
    """A note taken by its bead: sideways in time, up and down in pitch."""

    place: Place
    note: Note
    layout: RowLayout
    key: Key
    metre: Metre

    def distance(self, right: float, down: float, *, chromatic: bool) -> tuple[int, int, int]:
        """How far it has been dragged: ticks later, steps of the key up, semitones up; pitch in one of the two."""
        step = grid(self.metre)
        ticks = round(right / self.layout.pixels_per_tick / step) * step
        height = self.layout.style.step_height
        if chromatic:
            return ticks, 0, round(-down / (height * STEPS_IN_OCTAVE / SEMITONES_IN_OCTAVE))
        return ticks, round(-down / height), 0

    def change(self, right: float, down: float, *, chromatic: bool) -> Change | None:
        """Move in steps of the grid, and of the key (chromatically: of semitones)."""
        ticks, steps, semitones = self.distance(right, down, chromatic=chromatic)
        onset = max(0, min(self.note.onset + ticks, self.layout.duration - 1))
        pitch = semitone_away(step_in_key(self.note.pitch, steps, self.key), semitones, self.key)
        if (onset, pitch) == (self.note.onset, self.note.pitch):
            return None
        place = self.place
        return Change(
            lambda song: move_note(song, place.part, place.index, onset, pitch),
            QCoreApplication.translate(CONTEXT, "move of a note"),
            lambda song: note_place(song, place.part, onset, pitch.midi),
            pitch.midi if pitch != self.note.pitch else None,
        )


class WireDrag(Struct, frozen=True):
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


class NotesDrag(Struct, frozen=True):
    """Several notes taken by the bead of one of them: they move together in time and pitch."""

    held: NoteDrag
    places: frozenset[Place]
    song: Song

    def change(self, right: float, down: float, *, chromatic: bool) -> Change | None:
        """Move all of them as far as the one that is held, on its grid and in the key at each."""
        ticks, steps, semitones = self.held.distance(right, down, chromatic=chromatic)
        if not (ticks or steps or semitones):
            return None
        chosen = tuple(sorted((place.part, place.index) for place in self.places))
        song, place, note = self.song, self.held.place, self.held.note
        moved = [
            (tick + ticks, raised(song, tick, each, steps, semitones).pitch.midi) for tick, each in placed(song, chosen)
        ]
        tick = song.part_onsets[place.part - 1] + note.onset
        lead = (tick + ticks, raised(song, tick, note, steps, semitones).pitch.midi)

        def led(after: Song) -> Place:
            return next(iter(places_at(after, [lead])), place)

        return Change(
            lambda song: move_notes(song, chosen, ticks, steps, semitones),
            QCoreApplication.translate(CONTEXT, "move of notes"),
            led,
            lead[1] if steps or semitones else None,
            lambda after: places_at(after, moved),
        )


def begin_drag(
    kind: str, place: Place, song: Song, layout: RowLayout, several: frozenset[Place] = frozenset()
) -> Drag | None:
    """The drag that begins on a subject of a kind (`core.drawing.shapes.Subject`), or None where there is none.

    On one of several selected notes it moves them all.
    """
    onset = song.part_onsets[place.part - 1]
    note, chord = place.note(song), place.chord(song)
    if note is not None:
        moment = onset + note.onset
        if kind == "wire-end":
            return WireDrag(place, note, layout, song.metre_at(moment))
        held = NoteDrag(place, note, layout, song.key_at(moment), song.metre_at(moment))
        return NotesDrag(held, several, song) if place in several else held
    if chord is not None:
        return begin_chord_drag(place, chord, song, layout, by_pin=kind == "landing")
    return None

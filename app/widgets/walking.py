"""Walking over the lesson sheet with the arrow keys.

Left and right go from note to note, and from chord to chord, on into the neighbouring part. Down goes from a
note to the chord that sounds with it, from a chord to what the left hand plays with it where that is written out, and
else to the first note of the next part; up goes the same way back.
"""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace
from PySide6.QtCore import Qt

from app.widgets.selection import Kind, Place, Selection
from core.drawing.row_left_hand import has_written_left_hand, left_strikes
from core.song.note import Hand, Note
from core.song.part import Part
from core.song.song import Song


def sideways(place: Place, song: Song, steps: int) -> Place:
    """The note or chord `steps` further on (negative: back); the same place at either end of the song.

    From a part as a whole it goes to its first note (backwards: to its last).
    """
    kind = Kind.CHORD if place.kind is Kind.CHORD else Kind.NOTE
    note = place.note(song)
    beneath = note is not None and _is_beneath(note)

    def places(number: int) -> list[Place]:
        part = song.parts[number - 1]
        if beneath:
            return [Place(number, Kind.NOTE, struck[0]) for struck in left_strikes(part)]
        return [
            Place(number, kind, index) for index in (range(len(part.chords)) if kind is Kind.CHORD else _melody(part))
        ]

    here = places(place.part)
    if place.kind is Kind.PART:
        return (here[0] if steps > 0 else here[-1]) if here else place
    if place not in here:
        return place
    at, number, direction = here.index(place) + steps, place.part, 1 if steps > 0 else -1
    found = here
    while not 0 <= at < len(found):
        if not 1 <= number + direction <= len(song.parts):
            return _end_of(song, places, direction)
        number += direction
        behind, found = len(found), places(number)
        at = at - behind if direction > 0 else at + len(found)
    return found[at]


def _end_of(song: Song, places: Callable[[int], list[Place]], direction: int) -> Place:
    """The last place of the song that has one, or the first."""
    numbers = range(1, len(song.parts) + 1)
    for number in reversed(numbers) if direction > 0 else numbers:
        if found := places(number):
            return found[-1 if direction > 0 else 0]
    return Place()


def extend_by_key(selection: Selection, song: Song, key: Qt.Key) -> bool:
    """Let a selection reach a note further, or to the part's first or last one; whether the key means that."""
    place = selection.place
    if place.kind is Kind.CHORD or key not in (Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Home, Qt.Key.Key_End):
        return False
    melody = _melody(song.parts[place.part - 1])
    if key in (Qt.Key.Key_Home, Qt.Key.Key_End):
        target = Place(place.part, Kind.NOTE, melody[0 if key == Qt.Key.Key_Home else -1]) if melody else place
    else:
        target = sideways(place, song, 1 if key == Qt.Key.Key_Right else -1)
    selection.extend_to(target, song)
    return True


def first_in(song: Song, number: int) -> Place:
    """The first note of a part, or its first chord, or the part."""
    part = song.parts[number - 1]
    melody = _melody(part)
    if melody:
        return Place(number, Kind.NOTE, melody[0])
    return Place(number, Kind.CHORD, 0) if part.chords else Place(number)


def down(place: Place, song: Song) -> Place:
    """One lane lower."""
    part = song.parts[place.part - 1]
    note, chord = place.note(song), place.chord(song)
    if chord is not None and has_written_left_hand(part):
        struck = [notes[0] for notes in left_strikes(part)]
        with_it = [index for index in struck if part.notes[index].onset >= chord.onset]
        return Place(place.part, Kind.NOTE, with_it[0] if with_it else struck[-1])
    if note is not None and part.chords and not _is_beneath(note):
        sounding = [index for index, chord in enumerate(part.chords) if chord.onset <= note.onset]
        return Place(place.part, Kind.CHORD, sounding[-1] if sounding else 0)
    if place.part < len(song.parts):
        return first_in(song, place.part + 1)
    return place


def up(place: Place, song: Song) -> Place:
    """One lane higher."""
    part = song.parts[place.part - 1]
    note, chord = place.note(song), place.chord(song)
    if note is not None and _is_beneath(note) and part.chords:
        begun = [index for index, other in enumerate(part.chords) if other.onset <= note.onset]
        return Place(place.part, Kind.CHORD, begun[-1] if begun else 0)
    if chord is not None:
        melody = _melody(part)
        behind = [index for index in melody if part.notes[index].onset >= chord.onset]
        if melody:
            return Place(place.part, Kind.NOTE, behind[0] if behind else melody[-1])
    if place.part == 1:
        return replace(place) if place.kind is not Kind.CHORD else Place(1)
    above = song.parts[place.part - 2]
    if above.chords:
        return Place(place.part - 1, Kind.CHORD, 0)
    return first_in(song, place.part - 1)


def _is_beneath(note: Note) -> bool:
    """Whether a note is of a left hand that is written out."""
    return not note.melody and note.hand is Hand.LEFT


def _melody(part: Part) -> list[int]:
    return [index for index, note in enumerate(part.notes) if note.melody]

"""Walking over the lesson sheet with the arrow keys.

Left and right go from note to note, and from chord to chord, on into the neighbouring part. Down goes from a
note to the chord that sounds with it, from a chord to the first note of the next part; up goes the same way
back.
"""

from __future__ import annotations

from dataclasses import replace

from app.widgets.selection import Kind, Place
from core.song.part import Part
from core.song.song import Song


def sideways(place: Place, song: Song, steps: int) -> Place:
    """The note or chord `steps` further on (negative: back); the same place at either end of the song.

    From a part as a whole it goes to its first note (backwards: to its last).
    """
    kind = Kind.CHORD if place.kind is Kind.CHORD else Kind.NOTE
    order = [
        Place(number, kind, index)
        for number, part in enumerate(song.parts, 1)
        for index in (range(len(part.chords)) if kind is Kind.CHORD else _melody(part))
    ]
    if place.kind is Kind.PART:
        inside = [other for other in order if other.part == place.part]
        return (inside[0] if steps > 0 else inside[-1]) if inside else place
    if place not in order:
        return place
    return order[min(max(0, order.index(place) + steps), len(order) - 1)]


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
    note = place.note(song)
    if note is not None and part.chords:
        sounding = [index for index, chord in enumerate(part.chords) if chord.onset <= note.onset]
        return Place(place.part, Kind.CHORD, sounding[-1] if sounding else 0)
    if place.part < len(song.parts):
        return first_in(song, place.part + 1)
    return place


def up(place: Place, song: Song) -> Place:
    """One lane higher."""
    part = song.parts[place.part - 1]
    chord = place.chord(song)
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


def _melody(part: Part) -> list[int]:
    return [index for index, note in enumerate(part.notes) if note.melody]

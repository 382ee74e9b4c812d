"""Landings: the moments where a left-hand chord starts, with a named right-hand note or alone."""

from __future__ import annotations

from collections import Counter

from msgspec import Struct

from core.song.part import Part
from core.song.pitch import NoteName


class Landing(Struct, frozen=True):
    """Where a chord lands.

    Attributes:
        onset: ticks from the part's start.
        chord: index of the chord in ``part.chords``.
        note: index in ``part.notes`` of the melody note that starts there, or None where the chord lands alone.
        nth: the how-manyth melody note of that name in the part, from 1; None where the chord lands alone.
        of: how many melody notes of that name the part has; 0 where the chord lands alone.
    """

    onset: int
    chord: int
    note: int | None
    nth: int | None
    of: int = 0


def landings(part: Part) -> tuple[Landing, ...]:
    """The landings of a part, in order.

    A chord continued from the part before is already down and does not land; 'no chord' does not either.
    Grace notes do not count as the note a chord lands with.
    """
    met: dict[int, tuple[int, int]] = {}
    named: Counter[NoteName] = Counter()
    for index, note in enumerate(part.notes):
        if not note.melody:
            continue
        named[note.pitch.name] += 1
        if not note.is_grace:
            met.setdefault(note.onset, (index, named[note.pitch.name]))
    found: list[Landing] = []
    for place, chord in enumerate(part.chords):
        if chord.continued or chord.symbol.is_silent:
            continue
        if chord.onset not in met:
            found.append(Landing(chord.onset, place, None, None))
            continue
        index, nth = met[chord.onset]
        found.append(Landing(chord.onset, place, index, nth, named[part.notes[index].pitch.name]))
    return tuple(found)

"""Landings: the moments where a left-hand chord starts, with a named right-hand note or alone."""

from __future__ import annotations

from dataclasses import dataclass

from core.song.part import Part


@dataclass(frozen=True, slots=True)
class Landing:
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
    melody = [(index, note) for index, note in enumerate(part.notes) if note.melody]
    found: list[Landing] = []
    for place, chord in enumerate(part.chords):
        if chord.continued or chord.symbol.is_silent:
            continue
        met = next((pair for pair in melody if pair[1].onset == chord.onset and not pair[1].is_grace), None)
        if met is None:
            found.append(Landing(chord.onset, place, None, None))
            continue
        index, note = met
        same = [other for other, candidate in melody if candidate.pitch.name == note.pitch.name]
        found.append(Landing(chord.onset, place, index, same.index(index) + 1, len(same)))
    return tuple(found)

"""The rules for cuts, shared by moving, splitting, joining and cutting anew.

A note belongs to the part in which it starts, and so does an aside. A chord that crosses a cut is divided and its
second half marked as continued; when the cut goes, the halves become one chord again. A cut that the song's repeats
hold (`core.song.playing_order`) stays where it is.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from core.song.chord import Chord
from core.song.note import Note
from core.song.part import Aside, Part, Teaching


def merged(parts: Sequence[Part], teaching: Teaching) -> Part:
    """Consecutive parts as one, with chords that their cuts divided made whole."""
    notes: list[Note] = []
    chords: list[Chord] = []
    asides: list[Aside] = []
    start = 0
    for part in parts:
        notes.extend(replace(note, onset=note.onset + start) for note in part.notes)
        for chord in part.chords:
            last = chords[-1] if chords else None
            goes_on = chord.continued and last is not None and last.symbol == chord.symbol and chord.onset == 0
            if goes_on and last is not None and last.end == start:
                given = last.given or chord.given
                chords[-1] = replace(last, duration=last.duration + chord.duration, given=given)
            else:
                chords.append(replace(chord, onset=chord.onset + start, continued=chord.continued and not chords))
        asides.extend(replace(aside, onset=aside.onset + start) for aside in part.asides)
        start += part.duration
    return Part(start, tuple(notes), tuple(chords), teaching, parts[0].extra, tuple(asides))


def sliced(part: Part, start: int, end: int, teaching: Teaching) -> Part:
    """A stretch of a part as a part of its own; a chord that crosses its start is marked as continued.

    Args:
        part: the whole.
        start: ticks from the part's start.
        end: ticks from the part's start, after `start`.
        teaching: the choices of the new part.
    """
    notes = tuple(replace(note, onset=note.onset - start) for note in part.notes if start <= note.onset < end)
    chords = tuple(
        replace(
            chord,
            onset=max(chord.onset, start) - start,
            duration=min(chord.end, end) - max(chord.onset, start),
            continued=chord.continued if chord.onset >= start else True,
        )
        for chord in part.chords
        if chord.onset < end and chord.end > start
    )
    asides = tuple(replace(aside, onset=aside.onset - start) for aside in part.asides if start <= aside.onset < end)
    return Part(end - start, notes, chords, teaching, part.extra if start == 0 else (), asides)

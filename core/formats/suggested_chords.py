"""Chords for a tune whose source names none: suggested from its melody, and said to be so."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from core.formats.reading import Reading
from core.formats.song_building import NO_CHORDS
from core.song.chord import Chord
from core.song.part import Part
from core.theory.harmonising import SuggestedChord, suggest_chords

SUGGESTED: Final = "Chords were suggested from the melody; check them."


def with_suggested_chords(reading: Reading) -> Reading:
    """A reading with chords, where its source names none and there is a melody alone; else the reading as it is."""
    song = reading.song
    alone = all(note.melody or note.is_grace for part in song.parts for note in part.notes)
    if not alone or any(part.chords for part in song.parts):
        return reading
    chords = suggest_chords(song)
    if not chords:
        return reading
    parts = tuple(
        replace(part, chords=_inside(part, start, chords))
        for start, part in zip(song.part_onsets, song.parts, strict=True)
    )
    warnings = tuple(SUGGESTED if warning == NO_CHORDS else warning for warning in reading.warnings)
    return replace(reading, song=replace(song, parts=parts), warnings=warnings)


def _inside(part: Part, start: int, chords: tuple[SuggestedChord, ...]) -> tuple[Chord, ...]:
    """The chords of a part; what began before it goes on in it."""
    found = []
    for chord in chords:
        begins, ends = max(chord.onset, start), min(chord.onset + chord.duration, start + part.duration)
        if begins < ends:
            continued = chord.onset < start
            found.append(Chord(begins - start, ends - begins, chord.symbol, continued, given=False))
    return tuple(found)

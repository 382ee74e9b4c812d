"""Chords for an arrangement whose source names none: read from what its two hands play."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from core.formats.reading import Reading
from core.formats.song_building import NO_CHORDS
from core.song.chord import Chord
from core.song.part import Part
from core.song.song import Song
from core.theory.chords_heard import HeardChord, chords_heard

READ_FROM_NOTES: Final = "The source names no chords; they were read from the notes of both hands: check them."


def with_heard_chords(reading: Reading) -> Reading:
    """A reading with chords, where its source names none and both hands play; else the reading as it is."""
    song = reading.song
    if any(part.chords for part in song.parts) or not song.has_written_left_hand:
        return reading
    notes = [(onset, note.duration, note.pitch.midi) for onset, note in song.placed_notes()]
    heard = chords_heard(notes, song.bars, song.key)
    if not heard:
        return reading
    warnings = tuple(READ_FROM_NOTES if warning == NO_CHORDS else warning for warning in reading.warnings)
    return replace(reading, song=_with(song, heard), warnings=warnings)


def _with(song: Song, heard: tuple[HeardChord, ...]) -> Song:
    parts = tuple(
        replace(part, chords=_inside(part, start, heard))
        for start, part in zip(song.part_onsets, song.parts, strict=True)
    )
    return replace(song, parts=parts)


def _inside(part: Part, start: int, heard: tuple[HeardChord, ...]) -> tuple[Chord, ...]:
    """The chords of a part; what began before it goes on in it."""
    found = []
    for chord in heard:
        begins, ends = max(chord.onset, start), min(chord.onset + chord.duration, start + part.duration)
        if begins < ends:
            continued = chord.onset < start
            found.append(Chord(begins - start, ends - begins, chord.symbol, continued, given=False))
    return tuple(found)

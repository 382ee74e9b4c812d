"""Chords that were computed, laid into the parts of a song whose source names none, and said to be so."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from core.formats.reading import Reading
from core.formats.song_building import NO_CHORDS
from core.song.chord import Chord
from core.song.part import Part
from core.song.wording import say
from core.theory.chords_heard import HeardChord
from core.theory.harmonising import SuggestedChord

Computed = HeardChord | SuggestedChord


def with_computed_chords(reading: Reading, chords: Sequence[Computed], warning: str) -> Reading:
    """A reading with chords that count as not given, and a warning in the place of the one that there are none."""
    song = reading.song
    parts = tuple(
        replace(part, chords=_inside(part, start, chords))
        for start, part in zip(song.part_onsets, song.parts, strict=True)
    )
    none = say(NO_CHORDS)
    warnings = tuple(warning if said == none else said for said in reading.warnings)
    return replace(reading, song=replace(song, parts=parts), warnings=warnings)


def _inside(part: Part, start: int, chords: Sequence[Computed]) -> tuple[Chord, ...]:
    """The chords of a part; what began before it goes on in it."""
    found = []
    for chord in chords:
        begins, ends = max(chord.onset, start), min(chord.onset + chord.duration, start + part.duration)
        if begins < ends:
            continued = chord.onset < start
            found.append(Chord(begins - start, ends - begins, chord.symbol, continued, given=False))
    return tuple(found)

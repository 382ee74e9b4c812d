"""The ladder from plain to full on fifty songs of music21's own corpus.

The tunes have no chords of their own. Each bar takes whichever of tonic, subdominant and dominant shares most of its
sounding time, enough to have something to play in every metre and key.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import music21
from msgspec.structs import replace

from core.arranging.levels import SMALLEST_RISE, ladder
from core.formats.registry import read_song
from core.song.chord import Chord, ChordSymbol, Quality
from core.song.part import Part
from core.song.song import Song
from core.theory.chord_tones import chord_tones

CORPUS = Path(music21.__file__).parent / "corpus"
BOOKS = (("essenFolksong/boehme10.abc", 25), ("oneills1850/0001-0050.abc", 25))


def tunes() -> Iterator[tuple[str, Song]]:
    for book, count in BOOKS:
        data = (CORPUS / book).read_bytes()
        for number in range(1, count + 1):
            name = f"{book}#{number}"
            yield name, with_chords(read_song(name, data).song)


def with_chords(song: Song) -> Song:
    scale = song.key.scale
    quality = Quality.MINOR if song.key.is_minor_like else Quality.MAJOR
    primary = (ChordSymbol(scale[0], quality), ChordSymbol(scale[3], quality), ChordSymbol(scale[4]))
    parts: list[Part] = []
    for start, part in zip(song.part_onsets, song.parts, strict=True):
        end = start + part.duration
        edges = sorted({start, *(bar.onset for bar in song.bars if start < bar.onset < end), end})
        chords = tuple(
            Chord(a - start, b - a, max(primary, key=lambda chord: shared(part, chord, a - start, b - start)))
            for a, b in pairwise(edges)
        )
        parts.append(replace(part, chords=chords))
    return replace(song, parts=tuple(parts))


def shared(part: Part, chord: ChordSymbol, start: int, end: int) -> int:
    tones = {name.pitch_class for name in chord_tones(chord)}
    return sum(
        min(note.end, end) - max(note.onset, start)
        for note in part.melody
        if note.onset < end and note.end > start and note.pitch.midi % 12 in tones
    )


def test_effort_rises_from_step_to_step_on_fifty_songs() -> None:
    seen = 0
    for name, song in tunes():
        efforts = [level.effort for level in ladder(song, 1)]
        assert len(efforts) >= 3, name
        assert all(after - before >= SMALLEST_RISE for before, after in pairwise(efforts)), (name, efforts)
        seen += 1
    assert seen == 50

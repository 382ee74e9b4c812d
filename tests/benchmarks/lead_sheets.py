"""Lead sheets of a folder, with the half that is tested on: those whose file name has an even SHA-256."""

from __future__ import annotations

from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

from core.formats.musicxml_reader import MusicXmlReader
from core.song.chord import SUSPENDED, ChordSymbol, Quality
from core.song.errors import PhrasebenchError
from core.song.song import Song
from core.theory.chord_tones import semitones
from tests.benchmarks.results import show


def lead_sheets(folder: Path) -> Iterator[tuple[Song, bool]]:
    """Each song of a folder that has chords, and whether it is of the test half."""
    for path in sorted(folder.glob("*.mxl")):
        try:
            song = MusicXmlReader().read(path.name, path.read_bytes(), None).song
        except PhrasebenchError as error:
            show(str(error))
            continue
        if any(part.chords for part in song.parts):
            yield song, int(sha256(path.name.encode()).hexdigest(), 16) % 2 == 0


def melody(song: Song) -> list[tuple[int, int, int]]:
    """Onset, duration and MIDI number of a song's plain melody."""
    return [
        (onset, note.duration, note.pitch.midi) for onset, note in song.placed_notes() if note.melody and note.duration
    ]


def family(symbol: ChordSymbol) -> int:
    """0 major, 1 dominant seventh, 2 minor, 3 diminished; suspended and augmented chords as major ones."""
    if symbol.quality is Quality.DOMINANT or (symbol.quality in SUSPENDED and symbol.extension >= 7):
        return 1
    heights = {height % 12 for height in semitones(symbol)}
    if 3 in heights and 4 not in heights:
        return 3 if 6 in heights and 7 not in heights else 2
    return 0

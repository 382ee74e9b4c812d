"""Chords read back from lead sheets written out for two hands; run by name.

``python -m tests.benchmarks.bench_chords_heard FOLDER`` takes a folder of lead sheets (MusicXML with chord symbols),
writes each out with our own left-hand patterns, takes the symbols away and asks for the chords. Printed and written:
the share of the time in which the root is found, and root and kind of third. It has no outside figure to be held to.
"""

from __future__ import annotations

import sys
from pathlib import Path

from core.arranging.left_hand import left_hand
from core.formats.registry import read_song
from core.song.chord import ChordSymbol
from core.song.errors import PhrasebenchError
from core.song.song import Song
from core.theory.chord_tones import chord_tones
from core.theory.chords_heard import chords_heard
from tests.benchmarks.results import keep, show

PATTERNS = ("block", "broken", "bass_chords", "octaves")


def thirds(symbol: ChordSymbol) -> frozenset[int]:
    """Whether a minor or a major third, or both or none, stands over the root."""
    heights = {(tone.pitch_class - symbol.root.pitch_class) % 12 for tone in chord_tones(symbol)}
    return frozenset(heights & {3, 4})


def found_again(song: Song, pattern: str) -> tuple[int, int, int]:
    """Ticks of chords, those with their root found, and those with their third found as well."""
    notes = [(onset, note.duration, note.pitch.midi) for onset, note in song.placed_notes()]
    for number, start in enumerate(song.part_onsets, 1):
        played = left_hand(song, number, pattern)
        notes += [(start + note.onset, note.duration, note.pitch.midi) for note in played]
    heard = chords_heard(notes, song.bars, song.key)
    whole = roots = both = 0
    for onset, chord in song.placed_chords():
        if chord.symbol.is_silent or not heard:
            continue
        moment = onset + chord.duration // 4
        last = next((one for one in reversed(heard) if one.onset <= moment), heard[0])
        whole += chord.duration
        if last.symbol.root.pitch_class == chord.symbol.root.pitch_class:
            roots += chord.duration
            both += chord.duration if thirds(last.symbol) == thirds(chord.symbol) else 0
    return whole, roots, both


def main() -> int:
    """Measure and keep the figures."""
    if len(sys.argv) < 2 or not Path(sys.argv[1]).is_dir():
        show("Name a folder of lead sheets; nothing was measured.")
        return 0
    songs = []
    for path in sorted(Path(sys.argv[1]).glob("*.mxl")):
        try:
            songs.append(read_song(str(path), path.read_bytes()).song)
        except PhrasebenchError as error:
            show(str(error))
    figures: dict[str, object] = {"lead sheets": len(songs)}
    for pattern in PATTERNS:
        sums = [sum(column) for column in zip(*(found_again(song, pattern) for song in songs), strict=True)]
        figures[pattern] = {"root": round(sums[1] / sums[0], 3), "root and third": round(sums[2] / sums[0], 3)}
        show(f"{pattern:12} {figures[pattern]}")
    keep("chords_heard", figures)
    return 0


if __name__ == "__main__":
    sys.exit(main())

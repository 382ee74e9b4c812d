"""Chords suggested under the melodies of lead sheets, beside the chords that stand there; run by name.

``python -m tests.benchmarks.bench_harmonies FOLDER`` takes a folder of lead sheets (MusicXML with chord symbols) and,
of those whose file name has an even SHA-256, the melody alone. Printed and written: the share of the time in which
the root is the same, and root and kind of third, for the tonic throughout, for the chord of the scale that most of
the melody belongs to, and for `core.theory.harmonising`; and how many chords a bar has. Lead sheets of jazz songs
name chords that no melody tells, so that the same can only be a part of them.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from core.song.song import Song
from core.theory.harmonising import SuggestedChord, cells_of, evidence, suggest_chords
from tests.benchmarks.lead_sheets import family, lead_sheets, melody
from tests.benchmarks.results import keep, show

Placed = tuple[int, int, int, bool]
"""Start and end in ticks, pitch class of the root, whether its third is minor."""

MAJOR_SCALE_CHORDS = ((0, False), (5, False), (7, False), (9, True), (2, True), (4, True))
MINOR_SCALE_CHORDS = ((0, True), (5, True), (7, False), (8, False), (3, False), (10, False))


def always_tonic(song: Song) -> list[Placed]:
    """The key's own chord all the time."""
    cells = cells_of(song.bars)
    keys = [song.key_at(cell.onset) for cell in cells]
    return [
        (cell.onset, cell.end, key.tonic.pitch_class, key.is_minor_like) for cell, key in zip(cells, keys, strict=True)
    ]


def most_overlap(song: Song) -> list[Placed]:
    """In each cell the triad of the key in which the melody sounds longest."""
    cells = cells_of(song.bars)
    keys = [song.key_at(cell.onset) for cell in cells]
    found: list[Placed] = []
    shares = evidence(melody(song), cells, [key.tonic.pitch_class for key in keys])[:, 0]
    for cell, key, share in zip(cells, keys, shares, strict=True):
        chords = MINOR_SCALE_CHORDS if key.is_minor_like else MAJOR_SCALE_CHORDS
        root, minor = max(
            chords,
            key=lambda one: float(share[one[0]] + share[(one[0] + 4 - one[1]) % 12] + share[(one[0] + 7) % 12]),
        )
        found.append((cell.onset, cell.end, (key.tonic.pitch_class + root) % 12, minor))
    return found


def suggested(song: Song) -> list[Placed]:
    """What the program suggests."""
    return [placed(chord) for chord in suggest_chords(song)]


def placed(chord: SuggestedChord) -> Placed:
    """A suggested chord as it is compared."""
    root = chord.symbol.root.pitch_class
    return chord.onset, chord.onset + chord.duration, root, family(chord.symbol) >= 2


def agreement(song: Song, found: Sequence[Placed]) -> tuple[int, int, int]:
    """Ticks of the song's chords, those with the same root, and those with the same third as well."""
    whole = roots = both = 0
    for onset, chord in song.placed_chords():
        if chord.symbol.is_silent:
            continue
        whole += chord.duration
        for start, end, root, minor in found:
            shared = min(end, onset + chord.duration) - max(start, onset)
            if shared > 0 and root == chord.symbol.root.pitch_class:
                roots += shared
                both += shared if minor == (family(chord.symbol) >= 2) else 0
    return whole, roots, both


def main() -> int:
    """Measure and keep the figures."""
    if len(sys.argv) < 2 or not Path(sys.argv[1]).is_dir():
        show("Name a folder of lead sheets; nothing was measured.")
        return 0
    songs = [song for song, is_test in lead_sheets(Path(sys.argv[1])) if is_test]
    figures: dict[str, object] = {"lead sheets": len(songs), "wanted": 0.70}
    ways: dict[str, Callable[[Song], list[Placed]]] = {
        "always the tonic": always_tonic,
        "most overlap": most_overlap,
        "suggested": suggested,
    }
    for name, way in ways.items():
        sums = [sum(column) for column in zip(*(agreement(song, way(song)) for song in songs), strict=True)]
        figures[name] = {"root": round(sums[1] / sums[0], 3), "root and third": round(sums[2] / sums[0], 3)}
        show(f"{name:18} {figures[name]}")
    bars = sum(len(song.bars) for song in songs)
    there = sum(len(list(song.placed_chords())) for song in songs)
    figures["chords a bar"] = {
        "in the lead sheets": round(there / bars, 2),
        "suggested": round(sum(len(suggested(song)) for song in songs) / bars, 2),
    }
    show(f"chords a bar       {figures['chords a bar']}")
    sure = [(chord.confidence, agreed) for song in songs for chord, agreed in judged(song)]
    figures["confidence"] = {
        f"{low:.1f} to {low + 0.2:.1f}": round(sum(agreed for _, agreed in inside) / len(inside), 2)
        for low in (0.2, 0.4, 0.6, 0.8)
        if (inside := [one for one in sure if low <= one[0] < low + 0.2])
    }
    show(f"confidence         {figures['confidence']}")
    keep("harmonies", figures)
    return 0


def judged(song: Song) -> list[tuple[SuggestedChord, float]]:
    """Each suggested chord and the share of its time in which its root stands in the lead sheet."""
    return [(chord, agreement(song, [placed(chord)])[1] / chord.duration) for chord in suggest_chords(song)]


if __name__ == "__main__":
    sys.exit(main())

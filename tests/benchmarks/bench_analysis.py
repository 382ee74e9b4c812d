"""Every analysis of a whole song beside music21's parse of the same file.

Run by name: ``python -m tests.benchmarks.bench_analysis``. Songs of 64, 500 and about 2,000 notes, with chord names
and without (reading chord names is most of music21's time), are written as MusicXML by the project and parsed by
music21 in this process. Each field of `inspect_song` is computed in the parts that are proposed for a file without
any, on a song whose every part is a new object, so that nothing computed before is found again.

The median of the rounds counts. To reach: all fields but the twelve keys together at most as long as the parse, the
twelve keys at most five times as long.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Callable
from functools import partial
from itertools import product
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

import music21
from msgspec.structs import replace

from core.edits.recut import recut
from core.formats.registry import read_song, write_song
from core.session.inspection import FIELDS, inspect_song
from core.song.chord import Chord
from core.song.note import Hand, Note
from core.song.part import Part, in_order
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from core.teaching.splitting import propose_cuts
from core.theory.chord_symbols import parse_chord
from tests.benchmarks.results import keep, show

ROUNDS = 3
SIZES = (64, 500, 2000)
MOST = {"all but the twelve keys": 1.0, "keys": 5.0}
RHYTHMS = ((0.5, 0.5, 1, 0.5, 0.5, 1), (1, 0.5, 0.5, 0.5, 0.5, 1), (0.5, 0.5, 0.5, 0.5, 1, 1))
BAR = 4 * TICKS_PER_QUARTER
TUNE = ("C5", "D5", "E5", "F5", "G5", "A5", "F#5", "G#5")
CHORDS = {"C": ("C3", "G3"), "F": ("F3", "C4"), "G": ("G3", "D4"), "Am": ("A3", "E4")}


def song_of(notes: int, *, named: bool) -> Song:
    """A song in C major of so many notes and a few more: six a bar in the right hand, two in the left."""
    chance = random.Random(notes)
    found: list[Note] = []
    chords: list[Chord] = []
    bar = 0
    while len(found) < notes:
        start = bar * BAR
        name = chance.choice(sorted(CHORDS))
        chords.append(Chord(start, BAR, parse_chord(name)))
        here = start
        place = chance.randrange(len(TUNE))
        for quarters in chance.choice(RHYTHMS):
            place = max(0, min(len(TUNE) - 1, place + chance.choice((-2, -1, -1, 0, 1, 1, 2))))
            length = round(quarters * TICKS_PER_QUARTER)
            found.append(Note(here, length, Pitch.parse(TUNE[place]), Hand.RIGHT))
            here += length
        for half in (0, 1):
            low = CHORDS[name][half]
            found.append(Note(start + half * BAR // 2, BAR // 2, Pitch.parse(low), Hand.LEFT, melody=False))
        bar += 1
    return Song("Analysis", (Part(bar * BAR, in_order(found), tuple(chords) if named else ()),))


def fresh(song: Song) -> Song:
    """The song with every part a new object."""
    return replace(song, parts=tuple(replace(part) for part in song.parts))


def analysed(song: Song, only: list[str]) -> object:
    """Fields of the song's inspection, computed anew."""
    return inspect_song(fresh(song), only)


def seconds(work: Callable[[], object]) -> float:
    """The median time of the rounds, of the processor alone."""
    taken = []
    for _ in range(ROUNDS):
        began = time.process_time()
        work()
        taken.append(time.process_time() - began)
    return median(taken)


def main() -> int:
    """Print and keep the table."""
    figures: dict[str, object] = {"to reach, times the parse": MOST}
    with TemporaryDirectory() as folder:
        for size, named in product(SIZES, (True, False)):
            data = write_song("analysis.musicxml", song_of(size, named=named))
            path = Path(folder) / f"analysis_{size}_{named}.musicxml"
            path.write_bytes(data)
            music21.converter.parse(path, forceSource=True)
            parse = seconds(partial(music21.converter.parse, path, forceSource=True))
            whole = read_song(path.name, data).song
            song = recut(whole, propose_cuts(whole))
            count = sum(1 for _ in song.placed_notes())
            names = "chords named" if named else "no chords"
            show(f"{count} notes, {names}, in {len(song.parts)} parts: music21 parses in {1e3 * parse:.0f} ms")
            rows = {}
            others = [name for name in FIELDS if name != "keys"]
            for label, only in [*((name, [name]) for name in FIELDS), ("all but the twelve keys", others)]:
                taken = seconds(partial(analysed, song, only))
                ratio = taken / parse
                rows[label] = {"ms": round(1e3 * taken, 1), "times the parse": round(ratio, 2)}
                if label in MOST or ratio >= 0.01:
                    most = f"  at most {MOST[label]:g}" if label in MOST else ""
                    show(f"  {label:26} {1e3 * taken:8.1f} ms {ratio:6.2f}{most}")
            figures[f"{size} notes, {names}"] = {"notes": count, "parse ms": round(1e3 * parse, 1), **rows}
    keep("analysis", figures)
    return 0


if __name__ == "__main__":
    sys.exit(main())

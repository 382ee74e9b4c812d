"""The parts that are proposed for songs, counted as a teacher would look at them.

Run by name: ``python -m tests.benchmarks.bench_parts``. Songs: a step through the test half of the Essen folk songs
(their lines are phrases: `essen_phrases`) and music21's lead sheets; with the environment variable
PHRASEBENCH_LEADSHEETS also the folder of MusicXML lead sheets that it names. Compared are the parts as proposed, the
same with earlier weights, and a cut every four bars.

Counted: parts to 32 bars; notes, different chords and bars of a part; parts of 4 to 16 notes, of one or two chords,
of five or more, of at most a bar; how uneven the parts of a song are (the mean distance from its median length in
doublings); free cuts at a phrase's beginning (of the Essen lines where they are known, else as `PHRASE_LIKELY` has
it); and, of places whose four notes before and after come back elsewhere in the song, how often that is cut too. A
part of which both ends are held by repeats and endings cannot be cut otherwise; such parts are counted beside.
"""

from __future__ import annotations

import logging
import os
import sys
from bisect import bisect_left
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import log2
from pathlib import Path
from statistics import mean, median, quantiles

from core.formats.registry import read_song
from core.song.errors import PhrasebenchError
from core.song.metre import MetreChange
from core.song.note import Note
from core.song.part import Part
from core.song.pitch import NoteName, Pitch
from core.song.song import Song
from core.teaching.boundaries import PHRASE_LIKELY, boundary_strengths
from core.teaching.part_costs import USUAL_WEIGHTS, Harmony, Weights
from core.teaching.splitting import forced_cuts, melody_line, propose_cuts
from tests.benchmarks.essen_phrases import REGIONS, Tune, tunes_of
from tests.benchmarks.results import keep, show

EARLIER = Weights(
    boundary=0.45,
    notes=1.6,
    overfull=0.0,
    chords=0.4,
    length=0.5,
    held_chord=0.0,
    part=0.15,
    agreement=0.0,
    growth=9.0,
    bar_lines=False,
)
"""The weights before they were chosen on lead sheets."""
STEP = {"Essen": 12, "lead sheets": 3}
NAMES = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
CONTEXT = 4
HELD_IN_MIND = range(4, 17)
MANY_CHORDS = 5


@dataclass(frozen=True, slots=True)
class Piece:
    """A song to cut, and the notes that begin its phrases where they are known."""

    song: Song
    phrases: frozenset[int] | None = None


@dataclass(frozen=True, slots=True)
class Cut:
    """One part as it was cut."""

    notes: int
    chords: int
    bars: float
    held: bool


def four_bars(song: Song) -> tuple[int, ...]:
    """A cut every four bars, and where repeats hold one."""
    return tuple(
        sorted({*(bar.onset for bar in song.bars if bar.number > 1 and bar.number % 4 == 1), *forced_cuts(song)} | {0})
    )


METHODS: dict[str, Callable[[Song], tuple[int, ...]]] = {
    "as proposed": lambda song: propose_cuts(song, None, USUAL_WEIGHTS),
    "earlier weights": lambda song: propose_cuts(song, None, EARLIER),
    "every four bars": four_bars,
}


def folk_song(tune: Tune) -> Piece:
    """A folk song as one part without chords."""
    notes = tuple(
        Note(onset, duration, Pitch.named(NoteName.parse(NAMES[midi % 12]), midi))
        for onset, duration, midi in tune.notes
    )
    song = Song(
        tune.name or "a folk song",
        (Part(max(note.end for note in notes), notes),),
        metres=(MetreChange(0, tune.metre),),
        pickup=tune.pickup,
    )
    starts = frozenset(note[0] for note, begins in zip(tune.notes, tune.starts, strict=True) if begins)
    return Piece(song, starts)


def pieces() -> Iterator[tuple[str, list[Piece]]]:
    """Every group of songs there is."""
    tunes = [tune for region in REGIONS for tune in tunes_of(region) if tune.is_test]
    if tunes:
        yield "Essen", [folk_song(tune) for tune in tunes[:: STEP["Essen"]]]
    import music21

    yield "music21's lead sheets", sheets(sorted((Path(music21.__file__).parent / "corpus/leadSheet").glob("*.mxl")))
    folder = os.environ.get("PHRASEBENCH_LEADSHEETS")
    if folder:
        yield "lead sheets", sheets(sorted(Path(folder).glob("*.mxl"))[:: STEP["lead sheets"]])


def sheets(paths: list[Path]) -> list[Piece]:
    """The songs of lead sheets that can be read."""
    found = []
    for path in paths:
        try:
            found.append(Piece(read_song(path.name, path.read_bytes()).song))
        except PhrasebenchError as error:
            show(f"left out: {error}")
    return found


def cuts_of(song: Song, onsets: tuple[int, ...]) -> list[Cut]:
    """The parts between the cuts."""
    starts, harmony, held = [note[0] for note in melody_line(song)], Harmony.of(song), {*forced_cuts(song), song.length}
    return [
        Cut(
            bisect_left(starts, end) - bisect_left(starts, begin),
            harmony.different(begin, end),
            (end - begin) / song.metre_at(begin).bar_ticks,
            {begin, end} <= held,
        )
        for begin, end in zip(onsets, [*onsets[1:], song.length], strict=True)
    ]


def at_phrases(piece: Piece, onsets: tuple[int, ...]) -> list[bool]:
    """Of each cut that repeats do not hold: whether the first note after it begins a phrase."""
    melody, held = melody_line(piece.song), set(forced_cuts(piece.song))
    phrases = piece.phrases
    if phrases is None:
        strengths = boundary_strengths(melody, piece.song.bars)
        phrases = frozenset(note[0] for note, strong in zip(melody, strengths, strict=True) if strong >= PHRASE_LIKELY)
    starts = [note[0] for note in melody]
    firsts = [bisect_left(starts, cut) for cut in onsets if cut not in held]
    return [first < len(starts) and starts[first] in phrases for first in firsts]


def cut_alike(song: Song, onsets: tuple[int, ...]) -> list[bool]:
    """For each cut and each place around which the melody is the same: whether a part begins there as well."""
    melody = melody_line(song)
    starts = [note[0] for note in melody]
    steps = [(note[2], after[0] - note[0]) for note, after in pairwise(melody)]
    firsts = {bisect_left(starts, cut) for cut in onsets}
    places = range(CONTEXT, len(steps) - CONTEXT + 1)
    around = {place: steps[place - CONTEXT : place + CONTEXT] for place in places}
    return [
        other in firsts
        for first in firsts & set(places)
        for other in places
        if other != first
        and around[other] == around[first]
        and (starts[other] - starts[first]) % song.metre_at(starts[first]).bar_ticks == 0
    ]


def share(truths: list[bool]) -> float:
    """The share of what is true, of 1."""
    return round(mean(truths), 3) if truths else 0.0


def spread(values: list[float]) -> list[float]:
    """The tenth, half and nine tenths of values, and the most."""
    tenths = quantiles(values, n=10, method="inclusive")
    return [round(value, 2) for value in (tenths[0], tenths[4], tenths[8], max(values))]


def counted(songs: list[Piece], method: Callable[[Song], tuple[int, ...]]) -> dict[str, object]:
    """What a method makes of songs."""
    onsets = [method(piece.song) for piece in songs]
    by_song = [cuts_of(piece.song, cuts) for piece, cuts in zip(songs, onsets, strict=True)]
    parts = [part for cuts in by_song for part in cuts]
    free = [part for part in parts if not part.held]
    uneven = [abs(log2(part.bars / median(other.bars for other in cuts))) for cuts in by_song for part in cuts]
    return {
        "parts": len(parts),
        "held at both ends": len(parts) - len(free),
        "parts to 32 bars": round(32 * len(parts) / sum(part.bars for part in parts), 2),
        "notes": spread([part.notes for part in parts]),
        "4 to 16 notes": share([part.notes in HELD_IN_MIND for part in free]),
        "chords": spread([part.chords for part in parts]),
        "at most two chords": share([part.chords <= 2 for part in free]),
        "five chords or more": share([part.chords >= MANY_CHORDS for part in free]),
        "bars": spread([part.bars for part in parts]),
        "at most a bar": share([part.bars <= 1 for part in free]),
        "uneven": round(mean(uneven), 3),
        "cuts at phrases": share(
            [at for piece, cuts in zip(songs, onsets, strict=True) for at in at_phrases(piece, cuts)]
        ),
        "cut alike": share(
            [also for piece, cuts in zip(songs, onsets, strict=True) for also in cut_alike(piece.song, cuts)]
        ),
    }


def main() -> int:
    """Print and keep the figures."""
    logging.disable(logging.WARNING)
    figures: dict[str, object] = {}
    for group, songs in pieces():
        here = {name: counted(songs, method) for name, method in METHODS.items()}
        figures[group] = {"songs": len(songs), **here}
        show(f"{group}, {len(songs)} songs" + "".join(f"{name:>24}" for name in METHODS))
        for line in here["as proposed"]:
            show(f"  {line:24}" + "".join(f"{here[name][line]!s:>24}" for name in METHODS))
    keep("parts", figures)
    return 0


if __name__ == "__main__":
    sys.exit(main())

"""How evenly the effort rises on the ladder from one bass note to the full version.

Run by name: ``python -m tests.benchmarks.bench_ladder``. Read are the demo songs, and fifty songs of music21's corpus:
those with chord symbols that it has, and chorales whose chords are heard from their four voices. For each, the ladder
of the whole song where both hands may change, and that of each hand alone: whether every step is harder than the one
before, how many steps there are, and how even they are: the largest rise beside the mean one, 1.0 where all are alike.
The right hand's ladder is short in chorales: two written voices are harder already than a third under the melody.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from itertools import islice, pairwise
from pathlib import Path
from statistics import mean, median, quantiles
from typing import Final

import music21

from core.arranging.levels import ladder
from core.formats.registry import read_song, tunes_in
from core.song.errors import FormatError
from core.song.note import Hand
from core.song.song import Song
from tests.benchmarks.results import keep, show
from tests.helpers.songs import DEMO_SONGS

CORPUS: Final = Path(music21.__file__).parent / "corpus"
TUNES: Final = "nottingham-dataset/*.abc"
WITH_CHORDS: Final = "leadSheet/*.mxl"
CHORALES: Final = "bach/bwv*.mxl"
CHORALE_STEP: Final = 8
CORPUS_SONGS: Final = 50
WAYS: Final = {"both hands": None, "left hand": Hand.LEFT, "right hand": Hand.RIGHT}


@dataclass(frozen=True, slots=True)
class Climb:
    """The ladder of a song.

    Attributes:
        steps: how many there are.
        lowest: effort of the first, 0 … 100.
        highest: effort of the last.
        rises: whether every step is harder than the one before.
        unevenness: the largest rise as a multiple of the mean one; 0 where there is one step alone.
    """

    steps: int
    lowest: float
    highest: float
    rises: bool
    unevenness: float


def climb(song: Song, hand: Hand | None) -> Climb:
    """The ladder of a whole song, for one hand or both."""
    efforts = [level.effort for level in ladder(song, None, hand)]
    rises = [after - before for before, after in pairwise(efforts)]
    return Climb(
        len(efforts),
        round(efforts[0], 1),
        round(efforts[-1], 1),
        all(rise > 0 for rise in rises),
        round(max(rises) / mean(rises), 2) if rises else 0.0,
    )


def corpus_songs() -> Iterator[tuple[str, Song]]:
    """Songs with chords: those of the corpus that have symbols, then every so-many-eth chorale."""
    names: list[tuple[Path, str]] = []
    for path in sorted(CORPUS.glob(TUNES)):
        count = len(tunes_in(path.name, path.read_bytes()))
        names += [(path, f"{path.name}#{place + 1}") for place in range(count)]
    others = [*sorted(CORPUS.glob(WITH_CHORDS)), *sorted(CORPUS.glob(CHORALES))[::CHORALE_STEP]]
    names += [(path, path.name) for path in others]
    for path, name in names:
        try:
            song = read_song(name, path.read_bytes()).song
        except FormatError:
            continue
        if any(part.chords for part in song.parts):
            yield name, song


def figures(climbs: list[Climb]) -> dict[str, object]:
    """What the ladders of many songs have in common."""
    uneven = [one.unevenness for one in climbs if one.steps > 1]
    return {
        "songs": len(climbs),
        "every step harder": sum(one.rises for one in climbs),
        "steps, fewest": min(one.steps for one in climbs),
        "steps, mean": round(mean(one.steps for one in climbs), 2),
        "largest rise beside the mean one, median": round(median(uneven), 2),
        "largest rise beside the mean one, ninth decile": round(quantiles(uneven, n=10)[-1], 2),
        "largest rise beside the mean one, most": max(uneven),
    }


def main() -> int:
    """Measure, show and keep the figures."""
    demos = {name: make() for name, make in DEMO_SONGS.items()}
    corpus = dict(islice(corpus_songs(), CORPUS_SONGS))
    kept: dict[str, object] = {}
    for way, hand in WAYS.items():
        of_demos = {name: climb(song, hand) for name, song in demos.items()}
        of_corpus = [climb(song, hand) for song in corpus.values()]
        kept[way] = {"demos": {name: asdict(one) for name, one in of_demos.items()}, "corpus": figures(of_corpus)}
        for name, one in of_demos.items():
            show(f"{way:11} {name:22} {one}")
        show(f"{way:11} corpus {kept[way]}")
    keep("ladder", kept)
    return 0


if __name__ == "__main__":
    sys.exit(main())

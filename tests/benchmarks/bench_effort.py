"""How the effort orders music: beside the formula it started from, and beside a teacher's rough grades.

Run by name: ``python -m tests.benchmarks.bench_effort``. No set of pieces that experts have graded is at hand. So four
weaker things are measured, and none of them stands for an agreement with experts:

* the order agreement (Kendall's tau-b) of our effort with the formula fitted on graded pieces (`fitted_effort`);
* both against rough grades of well-known works, one to five, from memory: what teachers commonly give earlier or
  later (common practice), not a published list;
* what changes of the music do: one hand taken away, tempo x 1.5, a semitone up; a tune played by both hands in
  octaves, in mirror motion, in canon;
* how the efforts of a set are spread, so that neither easy nor hard music ends in one heap.

Read are folk songs, chorales and piano works of music21's corpus, and, where the environment variables
PHRASEBENCH_TWO_HANDS and PHRASEBENCH_LEADSHEETS name folders, the MIDI files and lead sheets in them.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from statistics import mean, quantiles
from typing import Final

import music21

from core.formats.registry import READERS
from core.session.analysis import played_notes
from core.song.errors import FormatError
from core.song.metre import Bar
from core.song.note import Hand
from core.song.song import Song
from core.teaching.effort import PlayedNote, effort_of
from tests.benchmarks.fitted_effort import fitted_effort
from tests.benchmarks.results import keep, show

CORPUS = Path(music21.__file__).parent / "corpus"
PIANO = ("schumann_clara/*.mxl", "joplin/*.mxl", "liliuokalani/*.mxl", "johnson_j_r/*.mxl", "cpebach/*.mxl")
FOLK_BOOKS = ("erk5.abc", "boehme10.abc", "han1.abc", "lot.abc")
FOLK_TUNES = range(1, 60, 5)
CHORALE_STEP, LEADSHEET_STEP = 20, 6
MOST_NOTES: Final = 4600
EASY_BELOW: Final = 60.0
"""Of the fitted formula, whose easiest half lies below."""

GRADES: Final = {
    1: ("Schubert_Walzer", "Suite2_Menuett", "Op36No4", "Mikrokosmos", "Kuhlau-Sonatine_Op55", "Op36No9"),
    2: ("FuerElise", "Solfegg", "h186", "Sarabande", "Elegie", "PreludesBand1_8", "Valse_OpPost", "Gewitter",
        "Schubert-Serenade", "Band1No6", "CDur_WTK2"),
    3: ("SonateKV332", "KV331", "Haydn-Klaviersonate", "Nocturne", "BalladeOp10", "D960", "maple", "Maple",
        "Debussy-Danse", "Band1No19", "Band1No20", "Band1No33", "FugeDDur"),
    4: ("BalladeOp47", "Etude_Op25", "Scherzo", "Novelette", "Abegg", "Voricek", "DiscoVisit"),
    5: ("Transand", "Vallee", "Strawinsky", "Schulhoff", "Sonetto"),
}  # fmt: skip  # a table, read line by line
"""Names of files of well-known works by when teachers give them, from memory."""


@dataclass(frozen=True)
class Piece:
    """Something to play."""

    group: str
    name: str
    notes: tuple[PlayedNote, ...]
    tempo: float
    bars: tuple[Bar, ...]

    @property
    def effort(self) -> float:
        """By our formula."""
        return effort_of(self.notes, self.tempo, self.bars).total

    @property
    def fitted(self) -> float:
        """By the formula it started from."""
        return fitted_effort(self.notes, self.tempo, self.bars)


def tau_b(one: Sequence[float], other: Sequence[float]) -> float:
    """Kendall's tau-b: how well two orders agree, with ties (Kendall 1945)."""
    agree = one_differs = other_differs = 0
    for place in range(len(one)):
        for before in range(place):
            first = (one[place] > one[before]) - (one[place] < one[before])
            second = (other[place] > other[before]) - (other[place] < other[before])
            agree += first * second
            one_differs += first != 0
            other_differs += second != 0
    return float(agree / ((one_differs * other_differs) ** 0.5 or 1))


def read(path: Path, tune: int | None = None) -> Song | None:
    """A file's song as its reader gives it, or None where it is refused."""
    ending = path.suffix.lower()
    reader = next(reader for reader in READERS if ending in reader.endings)
    try:
        return reader.read(path.name, path.read_bytes(), tune).song
    except FormatError:
        return None


def piece(group: str, name: str, song: Song) -> Piece:
    """A song as it is played."""
    notes = [note for number in range(1, len(song.parts) + 1) for note in played_notes(song, number)]
    return Piece(group, name, tuple(notes), song.tempo, song.bars)


def pieces() -> Iterator[Piece]:
    """Everything that is measured."""
    found = [("piano works", path) for pattern in PIANO for path in sorted(CORPUS.glob(pattern))]
    found += [("chorales", path) for path in sorted((CORPUS / "bach").glob("*.mxl"))[::CHORALE_STEP]]
    if folder := os.environ.get("PHRASEBENCH_TWO_HANDS"):
        found += [("two-hand MIDI", path) for path in sorted(Path(folder).glob("*.mid"))]
    if folder := os.environ.get("PHRASEBENCH_LEADSHEETS"):
        found += [("lead sheets", path) for path in sorted(Path(folder).glob("*.mxl"))[::LEADSHEET_STEP]]
    for group, path in found:
        song = read(path)
        if song is not None and sum(len(part.notes) for part in song.parts) <= MOST_NOTES:
            yield piece(group, path.name, song)
    for book in FOLK_BOOKS:
        for number in FOLK_TUNES:
            song = read(CORPUS / "essenFolksong" / book, number)
            if song is not None and any(part.notes for part in song.parts):
                yield from settings_of(piece("tune alone", f"{book}#{number}", song), song.metre.bar_ticks)


def settings_of(tune: Piece, bar: int) -> Iterator[Piece]:
    """A tune alone, with the left hand an octave below it, in mirror motion to it, and a bar behind it."""
    right = tuple(note for note in tune.notes if note.hand is Hand.RIGHT)
    axis, end = 2 * right[0].midi, tune.bars[-1].end
    left = [replace(note, hand=Hand.LEFT, midi=note.midi - 12) for note in right]
    yield replace(tune, notes=right)
    yield replace(tune, group="in octaves", notes=(*right, *left))
    mirrored = [replace(note, midi=axis - note.midi - 24) for note in left]
    yield replace(tune, group="mirrored", notes=(*right, *mirrored))
    behind = [replace(note, onset=note.onset + bar) for note in left if note.onset + bar < end]
    yield replace(tune, group="in canon", notes=(*right, *behind))


def changes(of: Piece) -> dict[str, Piece]:
    """The piece with one thing changed."""
    return {
        "left hand taken away": replace(of, notes=tuple(note for note in of.notes if note.hand is Hand.RIGHT)),
        "tempo x 1.5": replace(of, tempo=1.5 * of.tempo),
        "a semitone up": replace(of, notes=tuple(replace(note, midi=min(127, note.midi + 1)) for note in of.notes)),
    }


def grade(name: str) -> int | None:
    """The rough grade of a file, or None for one without."""
    return next((grade for grade, words in GRADES.items() if any(word in name for word in words)), None)


def main() -> int:
    """Print and keep the tables."""
    played = list(pieces())
    ours = [one.effort for one in played]
    fitted = [one.fitted for one in played]
    figures: dict[str, object] = {"pieces": len(played)}

    def agreement(chosen: Callable[[int], bool]) -> dict[str, object]:
        places = [place for place in range(len(played)) if chosen(place)]
        found = tau_b([fitted[place] for place in places], [ours[place] for place in places])
        return {"pieces": len(places), "tau": round(found, 3)}

    def of_group(group: str, place: int) -> bool:
        return played[place].group == group

    agreements = {"all": agreement(lambda _: True), "easy half": agreement(lambda place: fitted[place] < EASY_BELOW)}
    spread = {}
    for group in dict.fromkeys(one.group for one in played):
        agreements[group] = agreement(partial(of_group, group))
        cuts = quantiles([effort for effort, one in zip(ours, played, strict=True) if one.group == group], n=4)
        spread[group] = [round(cut, 1) for cut in cuts]
    figures["agreement with the fitted formula"] = agreements
    figures["quartiles of the effort"] = spread
    graded = [(level, place) for place, one in enumerate(played) if (level := grade(one.name)) is not None]
    levels = [level for level, _ in graded]
    figures["rough grades from memory"] = {
        "pieces": len(graded),
        "tau of ours": round(tau_b(levels, [ours[place] for _, place in graded]), 3),
        "tau of the fitted formula": round(tau_b(levels, [fitted[place] for _, place in graded]), 3),
        "tau of the number of notes": round(tau_b(levels, [len(played[place].notes) for _, place in graded]), 3),
    }
    both = [(one, effort) for one, effort in zip(played, ours, strict=True) if one.group != "tune alone"]
    by_change: dict[str, list[float]] = {}
    for one, effort in both:
        for name, changed in changes(one).items():
            by_change.setdefault(name, []).append(changed.effort - effort)
    by_setting = {
        group: [effort for effort, one in zip(ours, played, strict=True) if one.group == group]
        for group in ("in octaves", "mirrored", "in canon")
    }
    for harder, easier in (("mirrored", "in octaves"), ("in canon", "in octaves")):
        by_change[f"{harder} instead of {easier}"] = [
            high - low for high, low in zip(by_setting[harder], by_setting[easier], strict=True)
        ]
    figures["what a change does"] = {
        name: {
            "points": round(mean(moved), 1),
            "rises in percent": round(100 * mean(change > 0 for change in moved)),
            "falls in percent": round(100 * mean(change < 0 for change in moved)),
        }
        for name, moved in by_change.items()
    }
    for title, table in figures.items():
        show(f"{title}: {table}" if not isinstance(table, dict) else title)
        for name, row in table.items() if isinstance(table, dict) else ():
            show(f"  {name:32} {row}")
    keep("effort", figures)
    return 0


if __name__ == "__main__":
    sys.exit(main())

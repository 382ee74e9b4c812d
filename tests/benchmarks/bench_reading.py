"""Reading many files, and reading beside music21's parse alone.

Run by name: ``python -m tests.benchmarks.bench_reading [STEP]``. Read are: the MusicXML test suite and the MIDI files
that music21 carries for its own tests; every STEPth (10th) score and ABC tune of its corpus; and, where the
environment variables PHRASEBENCH_LEADSHEETS and PHRASEBENCH_TWO_HANDS name folders, the lead sheets and the MIDI
files in them. Without the folders those rows are skipped.

Counted per set: files, files refused, crashes (anything but a refusal), notes equal to music21's (scores and tunes;
onset, length, key; ties joined by key and time), the seconds of our reading beside those of music21's parse alone
in the same process, and which warnings were given how often. To reach: no crash; reading no slower than the parse.
"""

from __future__ import annotations

import os
import re
import sys
import time
import warnings
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

import music21

from core.formats.reading import Reading
from core.formats.registry import READERS, tunes_in
from core.song.errors import FormatError
from tests.benchmarks.results import keep, show
from tests.helpers.music21_notes import notes_of_score, notes_of_song

HOME = Path(music21.__file__).parent
CORPUS = HOME / "corpus"
LEADSHEETS = "PHRASEBENCH_LEADSHEETS"
TWO_HANDS = "PHRASEBENCH_TWO_HANDS"
USUAL_STEP = 10
LONGEST_SCORE = 400_000
"""Bytes of a compressed score; longer ones are operas, which nobody teaches on video."""


@dataclass
class Figures:
    """What was counted over a set of files."""

    files: int = 0
    refused: list[str] = field(default_factory=list)
    crashed: list[str] = field(default_factory=list)
    compared: int = 0
    equal: int = 0
    different: list[str] = field(default_factory=list)
    ours: float = 0.0
    parse: float = 0.0
    warnings: Counter[str] = field(default_factory=Counter)

    def kept(self) -> dict[str, object]:
        """As JSON keeps them."""
        return {
            "files": self.files,
            "refused": self.refused,
            "crashed": self.crashed,
            "compared with music21": self.compared,
            "notes equal": self.equal,
            "different": self.different,
            "seconds of ours": round(self.ours, 2),
            "seconds of music21's parse": round(self.parse, 2),
            "warnings": dict(self.warnings.most_common()),
        }


def read(name: str, data: bytes, tune: int | None) -> Reading:
    """A file read by its reader, without the proposal of cuts, which is not reading."""
    ending = "." + name.rpartition(".")[2].lower()
    reader = next(reader for reader in READERS if ending in reader.endings)
    return reader.read(name, data, tune)


def take(
    figures: Figures, name: str, data: bytes, tune: int | None, parse: Callable[[], music21.stream.Score] | None
) -> None:
    """Read one file and compare it."""
    figures.files += 1
    label = name if tune is None else f"{name}#{tune}"
    began = time.perf_counter()
    try:
        reading = read(name, data, tune)
    except FormatError as error:
        figures.refused.append(str(error))
        return
    except Exception as error:  # a crash is what is looked for
        figures.crashed.append(f"{label}: {error!r}")
        return
    figures.ours += time.perf_counter() - began
    figures.warnings.update(without_places(warning) for warning in reading.warnings)
    if parse is None:
        return
    began = time.perf_counter()
    try:
        score = parse()
    except Exception:  # music21 gives up on some tunes
        return
    figures.parse += time.perf_counter() - began
    figures.compared += 1
    if notes_of_song(reading.song) == notes_of_score(score):
        figures.equal += 1
    else:
        figures.different.append(label)


def without_places(warning: str) -> str:
    """A warning without bars and names, so that alike ones are counted together."""
    return re.sub(r"“[^”]*”", "“…”", re.sub(r" ?\(bar [^)]*\)|\d+", "", warning))


def scores(folder: Path, endings: tuple[str, ...], step: int) -> Iterator[Path]:
    """Every STEPth score of a folder that is not too long."""
    found = sorted(path for path in folder.rglob("*") if path.suffix in endings)
    yield from (path for path in found[::step] if path.stat().st_size < LONGEST_SCORE)


def parse_file(path: Path) -> music21.stream.Score:
    """music21's parse of a score."""
    score = music21.converter.parse(path, forceSource=True)
    assert isinstance(score, music21.stream.Score)
    return score


def parse_tune(text: str) -> music21.stream.Score:
    """music21's parse of a tune."""
    score = music21.converter.parse(text, format="abc")
    assert isinstance(score, music21.stream.Score)
    return score


def sweep_scores(paths: Iterator[Path]) -> Figures:
    """Read scores."""
    figures = Figures()
    for path in paths:
        take(figures, path.name, path.read_bytes(), None, partial(parse_file, path))
    return figures


def sweep_midi(paths: Iterator[Path]) -> Figures:
    """Read MIDI files, which music21 quantises, so that notes are not compared."""
    figures = Figures()
    for path in paths:
        take(figures, path.name, path.read_bytes(), None, None)
    return figures


def sweep_tunes(step: int) -> Figures:
    """Read ABC tunes."""
    figures = Figures()
    for path in sorted(CORPUS.rglob("*.abc")):
        data = path.read_bytes()
        for number in range(1, len(tunes_in(path.name, data)) + 1, step):
            take(figures, path.name, data, number, partial(parse_tune, tune_text(data, number)))
    return figures


def tune_text(data: bytes, number: int) -> str:
    """The text of the Nth tune, with the book's own fields before it."""
    text = data.decode("utf-8", "replace").replace("\r\n", "\n")
    head, *tunes = re.split(r"^(?=X:)", text, flags=re.MULTILINE)
    fields = [line for line in head.splitlines() if re.match(r"[MLQ]:|%%", line)]
    return "\n".join([*fields, tunes[number - 1]]) if tunes else text


def report(title: str, figures: Figures) -> None:
    """A row of the table."""
    ratio = f"{figures.ours / figures.parse:5.2f}" if figures.parse else "    –"
    equal = f"{figures.equal}/{figures.compared}" if figures.compared else "–"
    show(
        f"{title:28} {figures.files:6} {len(figures.refused):8} {len(figures.crashed):8} {equal:>12} "
        f"{figures.ours:8.2f} {figures.parse:8.2f} {ratio}"
    )


def main(arguments: list[str]) -> int:
    """Print and keep the table."""
    warnings.simplefilter("ignore")
    step = int(arguments[0]) if arguments else USUAL_STEP
    suite = next(folder for folder in (HOME / "musicxml").iterdir() if folder.name.endswith("TestSuite"))
    xml = (".xml", ".mxl", ".musicxml")
    sweeps: dict[str, Callable[[], Figures]] = {
        "MusicXML test suite": lambda: sweep_scores(scores(suite, xml, 1)),
        "scores of the corpus": lambda: sweep_scores(scores(CORPUS, xml, step)),
        "ABC tunes of the corpus": lambda: sweep_tunes(step * 5),
        "MIDI files of music21": lambda: sweep_midi(scores(HOME / "midi" / "testPrimitive", (".mid",), 1)),
    }
    leadsheets, two_hands = os.environ.get(LEADSHEETS), os.environ.get(TWO_HANDS)
    if leadsheets:
        sweeps["lead sheets"] = lambda: sweep_scores(scores(Path(leadsheets), xml, 1))
    if two_hands:
        sweeps["two-hand MIDI"] = lambda: sweep_midi(scores(Path(two_hands), (".mid",), 1))
    show(f"{'':28} {'files':>6} {'refused':>8} {'crashes':>8} {'notes equal':>12} {'ours s':>8} {'parse s':>8} ratio")
    kept: dict[str, object] = {"every STEPth of the corpus": step}
    crashes = 0
    for title, sweep in sweeps.items():
        figures = sweep()
        report(title, figures)
        kept[title] = figures.kept()
        crashes += len(figures.crashed)
    for name, folder in ((LEADSHEETS, leadsheets), (TWO_HANDS, two_hands)):
        if not folder:
            show(f"{name} is not set: skipped")
    keep("reading", kept)
    return 1 if crashes else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""Phrases of the Essen folk songs, read as text from music21's own corpus where it is installed.

In these files one line of a tune's body is one phrase. Nothing of the corpus is kept: the collection (Schaffrath
1995; ABC by Ewa Dahlig and others) may be used with music21 for non-commercial purposes.

Protocol: every note but the first is a candidate; the first note of a line is a phrase's start; a song's start
and end are not counted; counts are pooled over songs. Songs whose first field ``N:``, stripped of blanks at its
ends, has an even SHA-256 (of its UTF-8, taken as one whole number) are the test half, all others may be learned from.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from hashlib import sha256
from importlib.util import find_spec
from pathlib import Path

from core.song.metre import Bar, Metre, MetreChange, bars_of
from core.song.time import TICKS_PER_QUARTER

LETTERS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
SHARPS = "FCGDAEB"
TOKEN = re.compile(r"([_^=]*)([A-Ga-gz])([,']*)(\d*)(/?\d*)(-?)|(\|)")

REGIONS = {
    "Erk": ("erk5", "erk10", "erk20", "erk30"),
    "other German": (
        "altdeu10",
        "altdeu20",
        "ballad10",
        "ballad20",
        "ballad30",
        "ballad40",
        "ballad50",
        "ballad60",
        "ballad70",
        "ballad80",
        "boehme10",
        "boehme20",
        "dva0",
        "fink0",
        "folkHaydn",
        "kinder0",
        "variant0",
        "zuccal0",
    ),
    "Lorraine": ("lot",),
    "Luxembourg": ("lux",),
    "Ireland": ("irl",),
    "China": ("han1", "han2"),
}


@dataclass(frozen=True, slots=True)
class Tune:
    """A folk song: its notes as the analyser gets them, and which of them begin a line."""

    file: str
    number: int
    name: str
    is_test: bool
    notes: tuple[tuple[int, int, int], ...]
    starts: tuple[bool, ...]
    metre: Metre
    pickup: int

    @property
    def bars(self) -> tuple[Bar, ...]:
        """Bars as the song's metre and pick-up lay them."""
        length = max(onset + duration for onset, duration, _ in self.notes)
        return bars_of((MetreChange(0, self.metre),), self.pickup, length)


def corpus_folder() -> Path | None:
    """The folder of the collection, or None where music21 is not installed."""
    spec = find_spec("music21")
    if spec is None or spec.origin is None:
        return None
    folder = Path(spec.origin).parent / "corpus" / "essenFolksong"
    return folder if folder.is_dir() else None


def tunes_of(region: str) -> list[Tune]:
    """Every tune of a region that has at least two notes."""
    folder = corpus_folder()
    if folder is None:
        return []
    return [
        tune
        for name in REGIONS[region]
        for tune in _tunes(name, (folder / f"{name}.abc").read_text(encoding="utf-8", errors="replace"))
        if len(tune.notes) > 1
    ]


def _tunes(file: str, text: str) -> Iterator[Tune]:
    for number, block in enumerate(re.split(r"(?m)^X:", text)[1:], start=1):
        fields = dict(reversed(re.findall(r"(?m)^([A-Z]):(.*)$", block)))
        body = block[re.search(r"(?m)^K:.*$", block).end() :]  # type: ignore[union-attr]  # every tune of the collection states its key
        name = fields.get("N", "").strip()
        unit = Fraction(fields.get("L", "1/8").strip()) * 4 * TICKS_PER_QUARTER
        metre = _metre(fields.get("M", "none").strip())
        notes, starts, pickup = _read(body, int(unit), _signature(fields.get("K", "C").strip()), metre)
        is_test = int(sha256(name.encode()).hexdigest(), 16) % 2 == 0
        yield Tune(file, number, name, is_test, tuple(notes), tuple(starts), metre, pickup)


def _metre(text: str) -> Metre:
    first = text.split()[0] if text else "none"
    return Metre.parse(first) if re.fullmatch(r"\d+/\d+", first) else Metre()


def _signature(key: str) -> dict[str, int]:
    match = re.match(r"([A-G])([b#]?)(m(?!aj)|min)?", key)
    if match is None:
        return {}
    fifths = "FCGDAEB".index(match[1]) - 1 + 7 * {"": 0, "#": 1, "b": -1}[match[2]] - (3 if match[3] else 0)
    letters = SHARPS[:fifths] if fifths > 0 else SHARPS[::-1][:-fifths]
    return dict.fromkeys(letters, 1 if fifths > 0 else -1)


def _read(
    body: str, unit: int, signature: dict[str, int], metre: Metre
) -> tuple[list[tuple[int, int, int]], list[bool], int]:
    """Notes, line starts and the length of the pick-up (a first bar shorter than the metre's)."""
    notes: list[tuple[int, int, int]] = []
    starts: list[bool] = []
    now, pickup = 0, None
    tied = False
    accidentals: dict[str, int] = {}
    for line in body.split("\n"):
        begins = True
        for accidental, letter, octave, times, divided, tie, bar in TOKEN.findall(line):
            if bar:
                accidentals = {}
                if pickup is None and now > 0:
                    pickup = now if now < metre.bar_ticks else 0
                continue
            length = unit * int(times or 1)
            if divided:
                length //= int(divided[1:] or 2)
            if letter == "z":
                now, tied = now + length, False
                continue
            place = letter.upper() + octave + ("'" if letter.islower() else "")
            if accidental:
                accidentals[place] = accidental.count("^") - accidental.count("_")
            alteration = accidentals.get(place, signature.get(letter.upper(), 0))
            midi = 60 + LETTERS[letter.upper()] + alteration + 12 * letter.islower()
            midi += 12 * (octave.count("'") - octave.count(","))
            if tied and notes[-1][2] == midi:
                notes[-1] = (notes[-1][0], notes[-1][1] + length, midi)
            else:
                notes.append((now, length, midi))
                starts.append(begins)
                begins = False
            now, tied = now + length, bool(tie)
    return notes, starts, pickup or 0

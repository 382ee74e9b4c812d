"""Tunes with known keys, read as text from music21's own corpus where it is installed. Nothing of it is kept.

- The European songs of the Essen Folksong Collection (Schaffrath 1995; ABC files by Seymour Schlien, given to music21
  by Ewa Dahlig-Turek's permission for non-commercial use). Their field ``K:`` names the tonic and, but for twenty-six
  songs, never the mode: a minor song stands in a major signature with accidentals. So the mode that counts as true is
  minor where the minor third over that tonic sounds longer in the song than the major third.
- Fiddle tunes whose ``K:`` names tonic and mode: O'Neill 1903, Ryan 1883, Aird 1782 ff., Northumbrian Minstrelsy 1882
  and others, as transcribed for music21's corpus.

The test half is that of `essen_phrases`: tunes whose name (Essen's ``N:``, the others' title) has an even SHA-256.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from hashlib import sha256
from pathlib import Path

from core.song.key import Key, Mode
from core.song.pitch import NoteName
from core.song.time import TICKS_PER_QUARTER
from tests.benchmarks.essen_phrases import REGIONS, corpus_folder

EUROPEAN = tuple(name for region, names in REGIONS.items() if region != "China" for name in names if name != "variant0")
FIDDLE_FOLDERS = ("oneills1850", "ryansMammoth", "airdsAirs", "miscFolk", "nottingham-dataset")
FEWEST_NOTES = 8
SAMPLE = 500

TOKEN = re.compile(r"(\^{1,2}|_{1,2}|=)?([A-Ga-gz])([,']*)(\d*)(/*)(\d*)(-?)|(\|)|\((\d)")
ACCIDENTALS = {"^": 1, "^^": 2, "_": -1, "__": -2, "=": 0}
SEMITONES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
KEY = re.compile(r"([A-G])([b#]?) ?([A-Za-z]*)")
GERMAN = {"H": "B", "Es": "Eb"}
MODES = {
    "": Mode.MAJOR, "m": Mode.MINOR, "maj": Mode.MAJOR, "min": Mode.MINOR, "mix": Mode.MIXOLYDIAN, "dor": Mode.DORIAN,
    "phr": Mode.PHRYGIAN, "lyd": Mode.LYDIAN,
}  # fmt: skip  # a table, read line by line


@dataclass(frozen=True, slots=True)
class KeyedTune:
    """A tune, the key that its file names, and which half it is of."""

    name: str
    key: Key
    notes: tuple[tuple[int, int, int], ...]
    is_test: bool

    @property
    def order(self) -> str:
        """A fixed order without meaning, for sampling."""
        return sha256(self.name.encode()).hexdigest()

    @property
    def is_minor(self) -> bool:
        """Whether the minor third over the tonic sounds longer than the major one."""
        lasting = [0, 0]
        for _, duration, midi in self.notes:
            above = (midi - self.key.tonic.pitch_class) % 12
            if above in (3, 4):
                lasting[above - 3] += duration
        return lasting[0] > lasting[1]


def european_songs() -> list[KeyedTune]:
    """The European songs of the Essen collection, in the order for sampling; none where music21 is missing."""
    folder = corpus_folder()
    if folder is None:
        return []
    tunes = [
        tune for name in EUROPEAN for tune in _tunes(folder / f"{name}.abc", "N") if len(tune.notes) >= FEWEST_NOTES
    ]
    return sorted(tunes, key=lambda tune: tune.order)


def sampled_songs() -> list[KeyedTune]:
    """500 songs of the test half."""
    return [tune for tune in european_songs() if tune.is_test][:SAMPLE]


def fiddle_tunes() -> list[KeyedTune]:
    """The fiddle tunes, in the order for sampling."""
    folder = corpus_folder()
    if folder is None:
        return []
    paths = [path for name in FIDDLE_FOLDERS for path in sorted((folder.parent / name).glob("*.abc"))]
    tunes = [tune for path in paths for tune in _tunes(path, "T") if len(tune.notes) >= 2 * FEWEST_NOTES]
    return sorted(tunes, key=lambda tune: tune.order)


def _tunes(path: Path, naming: str) -> Iterator[KeyedTune]:
    text = path.read_text(encoding="utf-8", errors="replace").replace("\r", "")
    for number, block in enumerate(re.split(r"(?m)^X:", text)[1:], start=1):
        field = re.search(r"(?m)^K:(.*)$", block)
        key = _key(field[1].strip()) if field else None
        body = block[field.end() :] if field else ""
        if key is None or re.search(r"(?m)^K:", body):
            continue
        fields = dict(reversed(re.findall(r"(?m)^([A-Z]):(.*)$", block)))
        named = fields.get(naming, "").strip()
        unit = re.match(r"\s*1/(\d+)", fields.get("L", "")) or re.match(r"(8)", "8")
        assert unit is not None
        notes = tuple(_notes(body, key, 4 * TICKS_PER_QUARTER // int(unit[1])))
        is_test = int(sha256(named.encode()).hexdigest(), 16) % 2 == 0
        yield KeyedTune(f"{path.parent.name}/{path.name}/{number}/{named}", key, notes, is_test)


def _key(text: str) -> Key | None:
    match = KEY.match(GERMAN.get(text, text))
    if match is None:
        return None
    word = "maj" if match[3] == "M" else match[3].lower()[:3]
    if word not in MODES:
        return None
    key = Key(NoteName.parse(match[1] + match[2]), MODES[word])
    return key if abs(key.fifths) <= 7 else None


def _notes(body: str, key: Key, unit: int) -> Iterator[tuple[int, int, int]]:
    body = re.sub(r"(?m)^[A-Za-z]:.*$|%.*$", "", body)
    body = re.sub(r"\{[^}]*\}|![^!]*!|\"[^\"]*\"", "", body)
    now, left, stretch = 0, 0, Fraction(1)
    held: tuple[int, int, int] | None = None
    tied = False
    sharpened: dict[tuple[str, int], int] = {}
    for accidental, letter, marks, times, strokes, divided, tie, bar, tuplet in TOKEN.findall(body):
        if bar:
            sharpened = {}
            continue
        if tuplet:
            left, stretch = int(tuplet), {2: Fraction(3, 2), 3: Fraction(2, 3)}.get(int(tuplet), Fraction(1))
            continue
        length = Fraction(unit) * int(times or 1)
        if strokes:
            length /= int(divided) if divided else 2 ** len(strokes)
        if left:
            length, left = length * stretch, left - 1
        duration = round(length)
        if letter != "z":
            octave = 4 + letter.islower() + marks.count("'") - marks.count(",")
            place = (letter.upper(), octave)
            if accidental:
                sharpened[place] = ACCIDENTALS[accidental]
            alteration = sharpened.get(place, key.altered(place[0]).alteration)
            midi = 12 * (octave + 1) + SEMITONES[place[0]] + alteration
            if held is not None and tied and held[2] == midi:
                held = (held[0], held[1] + duration, midi)
            else:
                if held is not None:
                    yield held
                held = (now, duration, midi)
            tied = bool(tie)
        now += duration
    if held is not None:
        yield held

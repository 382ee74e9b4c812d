"""Works whose notes have names, read from music21's own corpus where it is installed. Nothing of it is kept.

Chorales are Bach's chorale settings; piano works are the eleven solo keyboard works on two staves; quartets are those
that are learned from. Grace notes and chord symbols are left out, and tied notes are one. The test half of the
chorales, and all piano works, are not learned from: a work is of the test half where the SHA-256 of its path in the
corpus is even.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from hashlib import sha256
from importlib.util import find_spec
from typing import Any

from core.song.time import ticks

PIANO_WORKS = (
    "bach/bwv846",
    "chopin/mazurka06-2",
    "cpebach/h186",
    "joplin/maple_leaf_rag",
    "mozart/k545/movement1_exposition",
    "schoenberg/opus19/movement2",
    "schoenberg/opus19/movement6",
    "schumann_clara/polonaise_op1n1",
    "schumann_clara/polonaise_op1n2",
    "schumann_clara/polonaise_op1n3",
    "schumann_clara/polonaise_op1n4",
)
QUARTETS = ("haydn/", "mozart/k1", "mozart/k4", "mozart/k8", "schumann_robert/opus41no1", "beethoven/opus18no1")

SpelledNote = tuple[int, int, int, int]
"""Onset and duration in ticks, MIDI number, place of the name on the line of fifths."""


@dataclass(frozen=True, slots=True)
class SpelledWork:
    """A work: the signature it begins with in fifths, later signatures with their onsets, its notes in order."""

    path: str
    fifths: int
    signatures: tuple[tuple[int, int], ...]
    notes: tuple[SpelledNote, ...]


def is_test(path: str) -> bool:
    """Whether a work is of the half that is not learned from."""
    return int(sha256(path.encode()).hexdigest(), 16) % 2 == 0


def is_here() -> bool:
    """Whether music21 is installed."""
    return find_spec("music21") is not None


def chorale_paths() -> list[str]:
    """Paths of all chorale settings in the corpus, without their endings."""
    return _paths("bach/", leave_out=PIANO_WORKS)


def quartet_paths() -> list[str]:
    """Paths of the string quartets that are learned from."""
    return [path for start in QUARTETS for path in _paths(start)]


def _paths(start: str, leave_out: tuple[str, ...] = ()) -> list[str]:
    from music21 import corpus

    found = {
        path.as_posix().split("/corpus/")[1].rpartition(".")[0]
        for path in corpus.getPaths(fileExtensions=("xml", "mxl", "musicxml"))
    }
    return sorted(path for path in found if path.startswith(start) and path not in leave_out)


def read_works(paths: list[str]) -> Iterator[SpelledWork]:
    """The works at some paths, one after another (a second or so each)."""
    from music21 import corpus

    for path in paths:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            score: Any = corpus.parse(path)
        notes: list[SpelledNote] = []
        signatures: dict[int, int] = {}
        for part in score.parts:
            flat = part.flatten()
            for signature in flat.getElementsByClass("KeySignature"):
                signatures.setdefault(ticks(Fraction(signature.offset)), signature.sharps)
            for sounding in flat.notes:
                if not sounding.duration.isGrace and "Harmony" not in sounding.classes:
                    notes.extend(_notes(sounding))
        if notes:
            yield SpelledWork(path, signatures.get(0, 0), tuple(sorted(signatures.items())), tuple(sorted(notes)))


def _notes(sounding: Any) -> Iterator[SpelledNote]:  # noqa: ANN401 - music21 is not typed
    for note in sounding.notes if sounding.isChord else (sounding,):
        tie = note.tie or sounding.tie
        if tie is None or tie.type == "start":
            pitch = note.pitch
            fifths = "FCGDAEB".index(pitch.step) - 1 + 7 * round(pitch.alter)
            yield ticks(Fraction(sounding.offset)), ticks(Fraction(sounding.quarterLength)), pitch.midi, fifths

"""Piano pieces in two tracks, one a hand, where a folder of them is at hand; none are kept here.

The environment variable PHRASEBENCH_TWO_HANDS names a folder of MIDI files whose track names begin with ``Rechts``
(right) and ``Links`` (left), as those of the hannds data set do (MIT licence). Both tracks are merged; pieces of one
opus are kept together.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

import mido

from core.song.note import Hand
from core.song.time import TICKS_PER_QUARTER

FOLDER = "PHRASEBENCH_TWO_HANDS"
OPUSES = (
    "BachJS-FrzSuite", "BachJS-Praeludium", "Chopin-Etude_Op25", "Clementi", "Haydn-KlaviersonateEsDur",
    "Mendelssohn-LiederOhneWorte",
)  # fmt: skip  # a table, read line by line
"""Beginnings of file names that pieces of one opus (or one printed collection) share."""


@dataclass(frozen=True, slots=True)
class TwoHandPiece:
    """A piece.

    Attributes:
        name: the file's.
        opus: what it is kept together with.
        notes: onset and duration in ticks and MIDI number, in order of onset, then pitch.
        hands: of each note.
    """

    name: str
    opus: str
    notes: tuple[tuple[int, int, int], ...]
    hands: tuple[Hand, ...]


def two_hand_pieces() -> list[TwoHandPiece]:
    """The pieces of the folder; empty where none is named."""
    folder = os.environ.get(FOLDER)
    return [_piece(path) for path in sorted(Path(folder).glob("*.mid"))] if folder else []


def _piece(path: Path) -> TwoHandPiece:
    file = mido.MidiFile(str(path), clip=True)
    found: list[tuple[int, int, int, bool]] = []
    for track in file.tracks:
        name = next((message.name for message in track if message.type == "track_name"), "")
        now = 0
        sounding: dict[int, list[int]] = {}
        for message in track:
            now += message.time
            if message.type == "note_on" and message.velocity:
                sounding.setdefault(message.note, []).append(now)
            elif message.type in ("note_on", "note_off") and sounding.get(message.note):
                onset = sounding[message.note].pop(0)
                ticks = [moment * TICKS_PER_QUARTER // file.ticks_per_beat for moment in (onset, now)]
                found.append((ticks[0], ticks[1] - ticks[0], message.note, name.startswith("Rechts")))
    found.sort(key=lambda note: (note[0], note[2]))
    opus = next((opus for opus in OPUSES if path.name.startswith(opus)), path.name)
    hands = tuple(Hand.RIGHT if right else Hand.LEFT for *_, right in found)
    return TwoHandPiece(path.name, opus, tuple((onset, length, midi) for onset, length, midi, _ in found), hands)

"""Parts and songs whose left hand is written out as notes."""

from __future__ import annotations

from msgspec.structs import replace

from core.song.note import Hand, Note
from core.song.part import Part, in_order
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.drawn_songs import drawn_song, part


def left_notes(line: str) -> tuple[Note, ...]:
    """Notes of the left hand from a line such as ``C3:1 E3+G3:0.5 - C3:2/1`` (quarters; ``-`` is a rest).

    ``+`` stands between keys that go down together; a length behind ``/`` is how long it is until what comes next.
    """
    onset, notes = 0, []
    for word in line.split():
        names, _, lengths = word.partition(":")
        length, _, until = lengths.partition("/")
        duration = round(float(length or 1) * TICKS_PER_QUARTER)
        if names != "-":
            notes += [Note(onset, duration, Pitch.parse(name), Hand.LEFT, melody=False) for name in names.split("+")]
        onset += round(float(until) * TICKS_PER_QUARTER) if until else duration
    return tuple(notes)


def two_hands(right: str, left: str, harmony: str = "") -> Part:
    """A part with a melody, a left hand that is written out, and chords where there are some; as long as both need."""
    plain, written = part(right, harmony), left_notes(left)
    length = max([plain.duration, *(note.end for note in written)])
    return replace(plain, duration=length, notes=in_order([*plain.notes, *written]))


def two_hand_song(*parts: Part, key: str = "C major", metre: str = "4/4") -> Song:
    """A song of such parts."""
    return drawn_song("Two Hands", key, metre, *parts)


def written_left_hands() -> tuple[Part, ...]:
    """Left hands of many kinds: broken chords, a waltz, octaves, a held bass, afterbeats, both hands in step."""
    broken = "C3:0.5 G3:0.5 E3:0.5 G3:0.5 " * 2 + "B2:0.5 G3:0.5 F3:0.5 G3:0.5 " * 2
    return (
        two_hands("E4:2 G4:2 F4:2 D4:2", broken),
        two_hands("E4:3 G4:2 A4 F4 E4 D4 C4:3", "C3 E3+G3 E3+G3 " * 2 + "B2 F3+G3 F3+G3 C3+E3:3"),
        two_hands("E4:3 F4:3", "C3 E3+G3 E3+G3 D3 F3+A3 F3+A3 D3 D3+A3 D3"),
        two_hands("E4 F4 G4 E4 D4 E4 C4:2", "C3 D3 E3 C3 B2 G2 C3:2"),
        two_hands("C5:2 B4 A4 B4:4", "C3:4/1 G3 E3 G3 G2+G3:2 G2 G2"),
        two_hands("- E4 - D4 - C4 - E4", "C3 - G3 - C3+E3 - G2+G3 -"),
        two_hands("- E4 - D4 - C4 - E4", "C3 - G3 - C3+E3 - G2+G3 - C3"),
        two_hands("E4 F4 G4:2 A4:4", "C2+C3:2 D2+D3:2 G1+G2:4"),
        two_hands("E4:4", "-:2 C3+E3+G3"),
        two_hands("E4:8", "C3 E3 " * 4),
    )

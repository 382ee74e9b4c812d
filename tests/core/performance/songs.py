"""Songs for the tests of playing: two bars of 4/4 a part, a C an octave apart in each part."""

from __future__ import annotations

from msgspec.structs import replace

from core.song.metre import Metre, MetreChange
from core.song.note import Hand, Note
from core.song.part import Part, Teaching, in_order
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.tempo import TempoChange
from core.song.time import TICKS_PER_QUARTER

QUARTER = TICKS_PER_QUARTER
BAR = 4 * QUARTER


def note(onset: float, quarters: float, pitch: str, hand: Hand = Hand.RIGHT) -> Note:
    """A note with its onset and length in quarter notes."""
    return Note(round(onset * QUARTER), round(quarters * QUARTER), Pitch.parse(pitch), hand)


def part(bars: float, *notes: Note) -> Part:
    """A part of some bars of 4/4."""
    return Part(round(bars * BAR), in_order(list(notes)), teaching=Teaching())


def song(
    *parts: Part,
    tempo: float = 60.0,
    metre: str = "4/4",
    pickup: float = 0.0,
    order: tuple[int, ...] = (),
    tempos: tuple[TempoChange, ...] | None = None,
) -> Song:
    """A song of parts at 60 quarter notes a minute: one second a quarter note."""
    return Song(
        "Test",
        parts,
        metres=(MetreChange(0, Metre.parse(metre)),),
        tempos=tempos or (TempoChange(0, tempo),),
        pickup=round(pickup * QUARTER),
        playing_order=order,
    )


def three_parts(order: tuple[int, ...] = ()) -> Song:
    """Three parts of one bar, each with one melody note and one written left-hand note on its first beat."""
    pitches = ("C5", "D5", "E5")
    lows = ("C3", "D3", "E3")
    parts = (part(1, note(0, 2, high), note(0, 4, low, Hand.LEFT)) for high, low in zip(pitches, lows, strict=True))
    return song(*parts, order=order)


def without_left(whole: Song) -> Song:
    """The song with its right hand alone."""
    return replace(whole, parts=tuple(replace(one, notes=one.hand(Hand.RIGHT)) for one in whole.parts))

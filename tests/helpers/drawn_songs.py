"""Songs to be drawn: a few of our own that are hard to draw, and a Hypothesis strategy for any."""

from __future__ import annotations

from hypothesis import strategies as st
from msgspec.structs import replace

from core.song.chord import Chord, ChordSymbol, Quality
from core.song.key import Key, KeyChange
from core.song.metre import Metre, MetreChange
from core.song.note import Hand, Note
from core.song.part import Part, in_order
from core.song.pitch import NoteName, Pitch
from core.song.song import Song
from core.song.tempo import TempoChange
from core.song.time import TICKS_PER_QUARTER
from core.theory.chord_symbols import parse_chord


def melody(line: str) -> tuple[int, tuple[Note, ...]]:
    """Length in ticks and notes of a line such as ``C#5:0.5 B4 - A4:2`` (quarters; ``-`` is a rest)."""
    onset, notes = 0, []
    for word in line.split():
        name, _, length = word.partition(":")
        duration = round(float(length or 1) * TICKS_PER_QUARTER)
        if name != "-":
            notes.append(Note(onset, duration, Pitch.parse(name)))
        onset += duration
    return onset, tuple(notes)


def each_lasting(quarters: float, names: str) -> str:
    """A line of notes that all last as long."""
    return " ".join(f"{name}:{quarters}" for name in names.split())


def chords(line: str) -> tuple[Chord, ...]:
    """Chords of a line such as ``Em:4 -:2 ~A7:2`` (quarters; ``~`` sounds on from the part before)."""
    onset, placed = 0, []
    for word in line.split():
        name, _, length = word.partition(":")
        duration = round(float(length) * TICKS_PER_QUARTER)
        if name != "-":
            placed.append(Chord(onset, duration, parse_chord(name.lstrip("~")), continued=name.startswith("~")))
        onset += duration
    return tuple(placed)


def part(notes: str, harmony: str = "") -> Part:
    """A part from a line of notes and a line of chords."""
    length, melody_notes = melody(notes)
    return Part(length, melody_notes, chords(harmony))


def drawn_song(title: str, key: str, metre: str, *parts: Part, pickup: float = 0, tempo: float = 90.0) -> Song:
    """A song of parts."""
    return Song(
        title,
        parts,
        keys=(KeyChange(0, Key.parse(key)),),
        metres=(MetreChange(0, Metre.parse(metre)),),
        tempos=(TempoChange(0, tempo),),
        pickup=round(pickup * TICKS_PER_QUARTER),
    )


def ferry() -> Song:
    """Three parts of unequal length; a chord lands alone; one finger of the teacher's own."""
    third = part("F#4 A4 D5 A4 F#4 G4 F#4:2 E4:4", "D:8 Em:4")
    second = part("C#5 B4 A4 A4 B4:3 - - B4 A4 G4", "A:8 G:4")
    own = replace(second.notes[1], finger=3)
    second = replace(second, notes=(second.notes[0], own, *second.notes[2:]))
    return drawn_song("Ferry", "E dorian", "4/4", part("E4 G4 A4 B4 A4:2 G4 F#4", "Em:8"), second, third, tempo=84.0)


def hard_songs() -> tuple[Song, ...]:
    """Songs that are hard to draw."""
    sixteenths = each_lasting(0.25, "B4 C#5 D#5 E5 F#5 E5 D#5 C#5 B4 B4 B4 B4 A#4 B4 C#5 A#4")
    fast = each_lasting(0.03125, "C5 D5 E5 F5 F5 F5 F5 F5 G5 A5 B5 C6 C6 B5 A5 G5")
    leaps = "Ab3:0.5 C4:0.5 Eb4:0.5 Ab5:1.5 Eb4:0.5 C4:0.5 Ab3:0.5 C6:1.5 Db5:1 Bbb4:0.5 Ab4:3 G4:1.5"
    crowded = "~A:3 C#m7b5/G:0.5 F#m9:0.5 B7#9:0.5 Emaj7#11:0.5 A6/9:0.5 G#7b13/B#:0.5"
    grace = part("C4 D4:0.5 D4:0.5 E4:2", "C:2 N.C.:2")
    grace = replace(grace, notes=in_order([*grace.notes, Note(TICKS_PER_QUARTER, 0, Pitch.parse("Eb4"))]))
    left = tuple(
        Note(onset * TICKS_PER_QUARTER // 2, TICKS_PER_QUARTER // 2, Pitch.parse(name), Hand.LEFT, melody=False)
        for onset, name in enumerate(["A2", "E3", "A3", "E3"] * 2)
    )
    written = part("A4:2 C5:2")
    written = replace(written, notes=in_order([*written.notes, *left]))
    return (
        ferry(),
        drawn_song("Sixteenths", "B major", "4/4", part(sixteenths, "B:1 G#m7:1 C#m7b5/G:1 F#7sus4:1")),
        drawn_song("Very fast", "C major", "3/4", part(f"{fast} C5:2.5", "C:1 G7:2")),
        drawn_song("Leaps", "Ab major", "12/8", part(leaps, "Ab:3 Fm7b5:1.5 Db:1.5 Eb7:6")),
        drawn_song("Crowded", "C# minor", "6/8", part("G#4:0.5", ""), part("C#5:6", crowded), pickup=0.5),
        drawn_song("Grace", "C major", "4/4", grace),
        drawn_song("Written out", "A minor", "4/4", written),
        drawn_song("Over the end", "G major", "4/4", part("G4:4 B4:4 D5:8", "G:8 Em:8")),
        drawn_song("One beat", "C major", "4/4", part("C5:0.125 C#5:0.125", "C#m7b5/G:0.25")),
        drawn_song("Nothing", "C major", "4/4", part("-:4")),
    )


LENGTHS = [TICKS_PER_QUARTER * n // 24 for n in (1, 3, 4, 6, 8, 12, 16, 18, 24, 36, 48, 72, 96)]
"""From a 96th note to a whole one, triplets among them."""


@st.composite
def any_song(draw: st.DrawFn) -> Song:
    """A song of one to three parts with any notes and chords."""
    metre = draw(st.sampled_from([Metre(4, 4), Metre(3, 4), Metre(6, 8), Metre(5, 8), Metre(12, 8), Metre(2, 2)]))
    parts = []
    for _ in range(draw(st.integers(1, 3))):
        notes, onset = [], 0
        for _ in range(draw(st.integers(1, 14))):
            length = draw(st.sampled_from(LENGTHS))
            kind = draw(st.sampled_from(["note"] * 6 + ["rest", "grace", "long"]))
            name = NoteName(draw(st.sampled_from("CDEFGAB")), draw(st.integers(-2, 2)))
            pitch = Pitch.of(name, draw(st.integers(3, 6)))
            finger = draw(st.sampled_from([None, None, 1, 5]))
            if kind == "grace":
                notes.append(Note(onset, 0, pitch))
            elif kind != "rest":
                notes.append(Note(onset, length * (3 if kind == "long" else 1), pitch, finger=finger))
            onset += length
        duration = onset
        placed, place = [], 0
        while place < duration and draw(st.booleans()):
            length = min(draw(st.sampled_from(LENGTHS)) * 2, duration - place)
            root = NoteName(draw(st.sampled_from("CDEFGAB")), draw(st.integers(-1, 1)))
            quality = draw(st.sampled_from([Quality.MAJOR, Quality.MINOR, Quality.HALF_DIMINISHED, Quality.SILENT]))
            extension = 7 if quality is Quality.HALF_DIMINISHED else 5
            symbol = ChordSymbol(root, quality, extension, bass=draw(st.sampled_from([None, NoteName("G", -1)])))
            placed.append(Chord(place, length, symbol, continued=place == 0 and draw(st.booleans())))
            place += length
        parts.append(Part(duration, in_order(notes), tuple(placed)))
    key = Key(NoteName(draw(st.sampled_from("CDEFGAB"))))
    return Song("Any", tuple(parts), keys=(KeyChange(0, key),), metres=(MetreChange(0, metre),))

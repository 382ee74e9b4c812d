"""Songs of our own for tests, built from lines of text."""

from __future__ import annotations

from fractions import Fraction

from msgspec.structs import replace

from core.edits.set_right_hand_line import set_right_hand_line
from core.song.chord import Chord
from core.song.key import Key, KeyChange
from core.song.metre import Metre, MetreChange
from core.song.part import Part
from core.song.song import Song
from core.song.tempo import TempoChange
from core.song.time import ticks
from core.theory.chord_symbols import parse_chord


def build(
    title: str,
    key: str,
    metre: str,
    tempo: float,
    parts: list[tuple[float | Fraction, str, list[tuple[float, float, str]]]],
    pickup: float = 0,
    order: tuple[int, ...] = (),
    section: str = "",
    short_bar_before: int = 0,
) -> Song:
    """A song from parts given as (quarters, line of notes, chords as (onset, quarters, symbol)).

    `short_bar_before` names a part that begins a new bar although the bar before it is not full.
    """
    empty = tuple(
        Part(
            ticks(length),
            chords=tuple(Chord(ticks(onset), ticks(duration), parse_chord(text)) for onset, duration, text in chords),
        )
        for length, _, chords in parts
    )
    song = Song(
        title,
        empty,
        keys=(KeyChange(0, Key.parse(key)),),
        metres=(MetreChange(0, Metre.parse(metre)),),
        tempos=(TempoChange(0, tempo),),
        pickup=ticks(pickup),
        playing_order=order,
        section=section,
    )
    if short_bar_before:
        reset = MetreChange(song.part_onsets[short_bar_before - 1], song.metre)
        song = replace(song, metres=(*song.metres, reset))
    for number, (_, line, _) in enumerate(parts, 1):
        song = set_right_hand_line(song, number, line)
    return song


def night_ferry() -> Song:
    """Eight bars in E Dorian, in three parts of unequal length; a chord lands alone."""
    return build(
        "Night Ferry",
        "E dorian",
        "4/4",
        84,
        [
            (8, "E G A B | A - G F#", [(0, 8, "Em")]),
            (12, "c# B A A | B - - . | . B A G", [(0, 8, "A"), (8, 4, "G")]),
            (12, "F# A d A | F# G F# - | E - - -", [(0, 8, "D"), (8, 4, "Em")]),
        ],
        section="verse",
    )


def lamplighters_waltz() -> Song:
    """Twenty bars in A flat major, in five parts; the first one returns."""
    return build(
        "The Lamplighter's Waltz",
        "Ab major",
        "3/4",
        108,
        [
            (12, "Ab Bb c | eb - c | db c Ab | F - -", [(0, 6, "Ab"), (6, 6, "Db")]),
            (12, "G Bb db | c - Bb | Ab Bb Ab | c - -", [(0, 6, "Eb7"), (6, 6, "Fm")]),
            (12, "Ab - Bb | db - eb | fb - eb | db - -", [(0, 6, "Db"), (6, 6, "Dbm")]),
            (12, "c - eb | c - Ab | G Ab Bb | db - .", [(0, 6, "Ab"), (6, 6, "Eb7")]),
            (12, "Fb - Ab | G - Bb | Ab:6", [(0, 3, "Dbm"), (3, 3, "Eb7"), (6, 6, "Ab")]),
        ],
        order=(1, 2, 3, 4, 1, 5),
    )


def heron_at_the_sluice() -> Song:
    """A 6/8 song in C sharp minor with a pick-up and a second ending."""
    half = Fraction(1, 2)
    return build(
        "Heron at the Sluice",
        "C# minor",
        "6/8",
        78,
        [
            (half * 13, "G# | c# - d# e - d# | c# - - G# - -", [(0.5, 6, "C#m")]),
            (half * 12, "A - B c# - A | B# - - d# - -", [(0, 3, "F#m"), (3, 3, "G#7")]),
            (half * 11, "e - c# A - c# | B# - - G# -", [(0, 3, "A"), (3, 2.5, "G#7")]),
            (half * 18, "e - c# A - c# | G# - A B# - d# | c#:6", [(0, 3, "A"), (3, 3, "G#7"), (6, 3, "C#m")]),
        ],
        pickup=0.5,
        order=(1, 2, 3, 1, 2, 4),
        short_bar_before=4,
    )


DEMO_SONGS = {
    "night_ferry": night_ferry,
    "lamplighters_waltz": lamplighters_waltz,
    "heron_at_the_sluice": heron_at_the_sluice,
}

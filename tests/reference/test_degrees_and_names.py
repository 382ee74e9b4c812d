"""Roman numerals, scale degrees and chord names against music21.

Numerals: every diatonic triad and seventh chord of six keys in every inversion is written as a numeral and read back
by `roman.RomanNumeral`, without the word maj, which music21 leaves to the key (I7 for a lead sheet's Imaj7). Names: the
root that `chord.Chord.root` finds in the triads and sevenths that sound in six Bach chorales. music21 counts in stacked
thirds and knows no sixth chords, so where ours is one, its seventh chord must be our second name.
"""

from __future__ import annotations

from typing import Any

import pytest
from msgspec.structs import replace

from core.song.key import Key
from core.song.pitch import NoteName, Pitch
from core.theory.chord_naming import name_chord
from core.theory.degrees import roman, scale_degree

KEYS = ("C major", "A minor", "Eb major", "F# minor", "B major", "G minor")


def music21_key(key: Key) -> str:
    name = key.tonic.plain.replace("b", "-")
    return name if key.mode.value == "major" else name.lower()


def stacks(key: Key, size: int) -> list[list[list[Pitch]]]:
    """Thirds stacked over every degree of the scale, each with its inversions, root position first."""
    found: list[list[list[Pitch]]] = []
    for degree in range(7):
        names = [key.scale[(degree + 2 * step) % 7] for step in range(size)]
        found.append([stacked(names[turn:] + names[:turn]) for turn in range(size)])
    return found


def stacked(names: list[NoteName]) -> list[Pitch]:
    pitches: list[Pitch] = []
    for name in names:
        pitch = Pitch.of(name, 3)
        while pitches and pitch.midi <= pitches[-1].midi:
            pitch = pitch.in_octave(pitch.octave + 1)
        pitches.append(pitch)
    return pitches


@pytest.mark.parametrize("key_name", KEYS)
def test_numerals_of_diatonic_chords_mean_the_same_to_music21(key_name: str) -> None:
    from music21 import roman as music21_roman

    key = Key.parse(key_name)
    for size in (3, 4):
        for inversions in stacks(key, size):
            upright = name_chord(inversions[0], key)[0].symbol
            for pitches in inversions:
                symbol = replace(upright, bass=pitches[0].name)
                numeral = roman(symbol, key).replace("maj", "").replace("°", "o").replace("♭", "b").replace("♯", "#")
                theirs = music21_roman.RomanNumeral(numeral, music21_key(key))
                assert theirs.bass().name.replace("-", "b") == pitches[0].name.plain, numeral
                names = {pitch.name.replace("-", "b") for pitch in theirs.pitches}
                assert names == {pitch.name.plain for pitch in pitches}, numeral


@pytest.mark.parametrize("key_name", KEYS)
def test_scale_degrees_are_music21s(key_name: str) -> None:
    from music21 import key as music21_key_module
    from music21 import pitch as music21_pitch

    key = Key.parse(key_name)
    theirs: Any = music21_key_module.Key(music21_key(key))
    for letter in "CDEFGAB":
        for alteration in (-1, 0, 1):
            pitch = Pitch(letter, alteration, 4)
            degree, accidental = theirs.getScaleDegreeAndAccidentalFromPitch(
                music21_pitch.Pitch(pitch.plain.replace("b", "-"))
            )
            alter = int(accidental.alter) if accidental is not None else 0
            signs = "♯" * alter if alter > 0 else "♭" * -alter
            assert scale_degree(pitch, key) == f"{signs}{degree}"


def test_roots_of_chorale_chords_are_those_that_music21_finds() -> None:
    from music21 import corpus

    compared = 0
    for number in ("bwv10.7", "bwv101.7", "bwv16.6", "bwv254", "bwv281", "bwv66.6"):
        for chord in corpus.parse(f"bach/{number}").chordify().recurse().getElementsByClass("Chord"):
            if not (chord.isTriad() or chord.isSeventh()):
                continue
            pitches = [Pitch.parse(pitch.nameWithOctave.replace("-", "b")) for pitch in chord.pitches]
            names = [name.symbol for name in name_chord(pitches)]
            name = names[1] if names[0].extension == 6 else names[0]
            assert name.root.plain == chord.root().name.replace("-", "b"), pitches
            compared += 1
    assert compared > 200

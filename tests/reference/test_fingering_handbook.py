"""Fingers come out as handbooks print them, by the one general search.

Source of the fingerings: see `handbook_fingerings`. Five-finger positions: a finger to each note, thumb lowest in the
right hand and highest in the left, in every key (common practice). Broken chords and seventh chords: Beringer &
Dunhill, "Daily Technical Studies" (1900), through a public transcription.
"""

from __future__ import annotations

import random
from collections.abc import Iterable

import pytest

from core.song.hand_profile import HandProfile
from core.song.note import Hand, Note
from core.song.pitch import NoteName, Pitch
from core.teaching.fingering import finger_line
from tests.reference.handbook_fingerings import (
    EIGHTH,
    TRIADS,
    Exercise,
    arpeggio_exercises,
    line,
    scale_exercises,
    steps_up,
    up_and_down,
)

SCALES = scale_exercises()
ARPEGGIOS = arpeggio_exercises()
OUT_OF_REACH = {
    "F# melodic_minor RH up",
    "F# melodic_minor LH down",
    "C# melodic_minor RH up",
}
"""Rows that differ in their first or last two notes from rows with the same keys in the same order there.

All three are from memory. The left hand begins F sharp minor downwards with the fourth finger on keys on which the
mirrored right hand begins B flat major with the second; the right hand begins F sharp and C sharp minor with 3 4 1
where D flat major, on the same colours, begins with 2 3 1, and each is at odds with its own octave.
"""
TONICS = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")


def fingers(notes: Iterable[Note], hand: Hand) -> str:
    return "".join(str(fingered.finger) for fingered in finger_line(tuple(notes), hand, HandProfile()))


def row_name(exercise: Exercise) -> str:
    return " ".join(exercise.row.split()[:4])


@pytest.mark.parametrize("exercise", SCALES, ids=lambda exercise: exercise.name)
def test_scales_come_out_as_printed_or_as_a_listed_variant(exercise: Exercise) -> None:
    found = fingers(exercise.notes, exercise.hand)
    # Where the book cannot be reached this is said here, so that it shows when it is.
    assert (found in exercise.fingerings) is (row_name(exercise) not in OUT_OF_REACH)


@pytest.mark.parametrize("exercise", ARPEGGIOS, ids=lambda exercise: exercise.name)
def test_arpeggios_come_out_as_printed_or_as_a_listed_variant(exercise: Exercise) -> None:
    assert fingers(exercise.notes, exercise.hand) in exercise.fingerings


def test_every_row_of_both_tables_is_tried() -> None:
    assert len({exercise.row for exercise in SCALES}) == 96
    assert len({exercise.row for exercise in ARPEGGIOS}) == 48
    assert {row_name(exercise) for exercise in SCALES} >= OUT_OF_REACH


@pytest.mark.parametrize("hand", Hand)
@pytest.mark.parametrize("triad", TRIADS)
@pytest.mark.parametrize("tonic", TONICS)
def test_a_five_finger_position_has_a_finger_for_each_note(tonic: str, triad: str, hand: Hand) -> None:
    third = TRIADS[triad][1]
    pitches = steps_up(NoteName.parse(tonic), hand, (0, 2, third, 5, 7), (0, 1, 2, 3, 4))
    up = "12345" if hand is Hand.RIGHT else "54321"
    assert fingers(line(pitches, hand), hand) == up
    assert fingers(line(pitches[::-1], hand), hand) == up[::-1]
    assert fingers(line(up_and_down(pitches), hand), hand) == up + up[-2::-1]


def five_finger_tunes(count: int) -> list[tuple[str, Hand, tuple[Pitch, ...], str]]:
    """Tunes that go all over a five-finger position, mostly by step, in every key and both hands."""
    chance = random.Random(1900)
    tunes: list[tuple[str, Hand, tuple[Pitch, ...], str]] = []
    while len(tunes) < count:
        tonic, hand = chance.choice(TONICS), chance.choice(tuple(Hand))
        third = TRIADS[chance.choice(tuple(TRIADS))][1]
        position = steps_up(NoteName.parse(tonic), hand, (0, 2, third, 5, 7), (0, 1, 2, 3, 4))
        places = [chance.choice((0, 4))]
        while len(places) < 12:
            place = places[-1] + chance.choice((-3, -2, -1, -1, -1, 0, 1, 1, 1, 2, 3))
            if 0 <= place <= 4:
                places.append(place)
        if {0, 4} <= set(places):
            wanted = "".join(str(place + 1 if hand is Hand.RIGHT else 5 - place) for place in places)
            tunes.append((tonic, hand, tuple(position[place] for place in places), wanted))
    return tunes


def test_tunes_within_five_fingers_stay_in_their_position() -> None:
    tunes = five_finger_tunes(200)
    alike = sum(fingers(line(pitches, hand), hand) == wanted for _, hand, pitches, wanted in tunes)
    assert alike / len(tunes) >= 0.97


def ladder(exercise: Exercise) -> list[Pitch]:
    """The notes of an exercise over the whole keyboard."""
    names = {pitch.midi % 12: pitch for pitch in exercise.pitches}
    notes = []
    for midi in range(24, 108):
        pitch = names.get(midi % 12)
        if pitch is not None:
            notes.append(Pitch(pitch.letter, pitch.alteration, pitch.octave + (midi - pitch.midi) // 12))
    return notes


def within_a_melody(exercise: Exercise, chance: random.Random, rest: int) -> tuple[tuple[Note, ...], int]:
    """An exercise with a tune of eight notes before and after it, around its first and its last note.

    Both tunes keep to the compass of a hand set down where the exercise begins and ends. Gives the notes and the
    place of the exercise's first one.
    """
    rungs = ladder(exercise)
    place_of = {pitch.midi: place for place, pitch in enumerate(rungs)}
    upwards = 1 if exercise.pitches[-1].midi > exercise.pitches[0].midi else -1
    widest = 2 if "arpeggio" in exercise.name else 4

    def tune(anchor: Pitch, direction: int) -> list[Pitch]:
        steps = [0]
        while len(steps) < 9:
            step = steps[-1] + chance.choice((-1, 1))
            steps.append(max(0, min(widest, step)))
        return [rungs[place_of[anchor.midi] + direction * step] for step in steps[1:]]

    before = line(tuple(reversed(tune(exercise.pitches[0], upwards))), exercise.hand)
    start = before[-1].end + rest
    inside = line(exercise.pitches, exercise.hand, start)
    after = line(tuple(tune(exercise.pitches[-1], -upwards)), exercise.hand, inside[-1].end + rest)
    return (*before, *inside, *after), len(before)


def agreement(exercises: Iterable[Exercise], rest: int, seed: int = 1901) -> float:
    """Share of the exercises' notes that are fingered as printed, or as the listed variant nearest to it."""
    chance = random.Random(seed)
    notes = right = 0
    for exercise in exercises:
        melody, first = within_a_melody(exercise, chance, rest)
        found = fingers(melody, exercise.hand)[first : first + len(exercise.pitches)]
        notes += len(found)
        right += max(sum(map(str.__eq__, found, wanted)) for wanted in exercise.fingerings)
    return right / notes


@pytest.mark.parametrize("rest", [0, EIGHTH, 2 * EIGHTH], ids=["no rest", "eighth rests", "quarter rests"])
def test_inside_longer_melodies_nine_notes_in_ten_agree(rest: int) -> None:
    exercises = [exercise for exercise in (*SCALES, *ARPEGGIOS) if "up and down" not in exercise.name]
    assert agreement(exercises, rest) >= 0.9


@pytest.mark.parametrize(
    ("hand", "names", "wanted"),
    [
        (Hand.RIGHT, "C4 E4 G4 C5 E4 G4 C5 E5 G4 C5 E5 G5 C5 E5 G5 C6", "1235124512451235"),
        (Hand.LEFT, "C2 E2 G2 C3 E2 G2 C3 E3 G2 C3 E3 G3 C3 E3 G3 C4", "5421542153215421"),
        (Hand.RIGHT, "G3 B3 D4 F4 G4 B4 D5 F5 G5 F5 D5 B4 G4 F4 D4 B3 G3", "12341234543214321"),
        (Hand.LEFT, "G2 B2 D3 F3 G3 B3 D4 F4 G4 F4 D4 B3 G3 F3 D3 B2 G2", "54321432123412345"),
        (Hand.RIGHT, "B3 D4 F4 Ab4 B4 D5 F5 Ab5 B5 Ab5 F5 D5 B4 Ab4 F4 D4 B3", "12341234543214321"),
        (Hand.RIGHT, "Ab3 B3 D4 F4 Ab4 B4 D5 F5 Ab5 F5 D5 B4 Ab4 F4 D4 B3 Ab3", "21234123432143212"),
    ],
    ids=[
        "C broken, right",
        "C broken, left",
        "G7, right",
        "G7, left",
        "B diminished, right",
        "A flat diminished, right",
    ],
)
def test_broken_chords_and_sevenths_come_out_as_printed(hand: Hand, names: str, wanted: str) -> None:
    assert fingers(line(tuple(map(Pitch.parse, names.split())), hand), hand) == wanted

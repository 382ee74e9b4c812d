"""Reasons and cautions are said whole in the language chosen, with the hands and intervals that fill their places."""

from __future__ import annotations

from itertools import pairwise
from random import Random

import pytest

from core.song.hand_profile import HandProfile
from core.song.key import Key
from core.song.metre import MetreChange, bars_of
from core.song.note import Hand, Note
from core.song.part import in_order
from core.song.pitch import Pitch
from core.song.tempo import TempoChange
from core.teaching.care import cautions
from core.teaching.effort import PlayedNote, effort_of
from core.teaching.effort_reasons import interval_named
from core.teaching.fingering import finger_hand
from core.teaching.hand_reasons import hand_reasons
from core.teaching.hands import assign_hands
from core.teaching.reach import beyond_reach
from tests.helpers.open_places import open_places, words_unsaid
from tests.helpers.songs import DEMO_SONGS

EIGHTH = 5_040
HANDS = HandProfile()
KEYS = tuple(Pitch.parse(name) for name in "C3 Eb3 F#3 G3 Bb3 C4 D4 E4 F4 Ab4 B4 C5 D5 F5 A5 C#6".split())


def wandering(seed: int, hand: Hand, notes: int = 48) -> tuple[Note, ...]:
    """Single notes and chords that go where chance takes them, some with a finger of the teacher's."""
    chance = Random(seed)
    found: dict[tuple[int, int], Note] = {}
    onset, place = 0, len(KEYS) // 2
    for _ in range(notes):
        length = EIGHTH * chance.choice((1, 1, 2, 3))
        place = max(0, min(len(KEYS) - 1, place + chance.choice((-4, -2, -1, -1, 0, 1, 1, 2, 5))))
        for step in range(chance.choice((1, 1, 1, 2, 4))):
            pitch = KEYS[min(len(KEYS) - 1, place + 2 * step)]
            finger = chance.choice((None, None, None, None, 1, 3, 5))
            found[onset, pitch.midi] = Note(onset, length, pitch, hand, finger=finger)
        onset += chance.choice((EIGHTH, length))
    return in_order(list(found.values()))


LINES = [(hand, wandering(seed, hand)) for seed in range(12) for hand in Hand]


def played(notes: tuple[Note, ...]) -> list[PlayedNote]:
    return [PlayedNote(note.onset, note.duration, note.pitch.midi, note.hand) for note in notes]


def test_reasons_for_effort_are_said() -> None:
    with open_places():
        told: set[str] = set()
        for (_, right), (_, left) in pairwise(LINES):
            notes = (*right, *left)
            end = max(note.end for note in notes)
            bars = bars_of((MetreChange(0, DEMO_SONGS["night_ferry"]().metre),), 0, end)
            told.update(reason.text for reason in effort_of(played(notes), 120.0, bars).reasons)
    assert [text for text in told if words_unsaid(text)] == []
    assert len(told) > 20


@pytest.mark.parametrize("semitones", range(30))
def test_intervals_are_said(semitones: int) -> None:
    with open_places():
        assert words_unsaid(interval_named(semitones)) == []


def test_reasons_for_fingers_and_places_of_the_hand_are_said() -> None:
    with open_places():
        told: set[str] = set()
        for hand, notes in LINES:
            found = finger_hand(notes, hand, HANDS, Key.parse("Eb major"))
            told.update(fingered.reason for fingered in found.fingers)
            told.update(position.words for position in found.positions)
            told.update(position.whole_words for position in found.positions)
    assert [text for text in told if words_unsaid(text)] == []
    assert len(told) > 60


def test_what_is_beyond_reach_is_said() -> None:
    with open_places():
        told = {beyond.sentence for hand, notes in LINES for beyond in beyond_reach(notes, hand, HandProfile(7, 7))}
    assert [text for text in told if words_unsaid(text)] == []
    assert len(told) > 10


def test_cautions_are_said() -> None:
    octaves = [(48 + place % 7, 60 + place % 7) for place in range(16)]
    wide = [(48 + place, 62 + place) for place in range(8)]
    with open_places():
        told = [
            caution.sentence(1, last)
            for hand in Hand
            for chords, length in ((octaves, 2 * EIGHTH), (wide, 2 * EIGHTH), ([(60, 64)] * 16, EIGHTH // 2))
            for caution in cautions(
                [
                    PlayedNote(place * length, length, midi, hand)
                    for place, chord in enumerate(chords)
                    for midi in chord
                ],
                HANDS,
                [TempoChange(0, 100.0)],
            )
            for last in (1, 4)
        ]
    assert len(told) == 12
    assert [text for text in told if words_unsaid(text)] == []


def test_reasons_for_hands_are_said() -> None:
    with open_places():
        told: set[str] = set()
        for (_, right), (_, left) in pairwise(LINES):
            notes = sorted({(note.onset, note.duration, note.pitch.midi) for note in (*right, *left)})
            guesses = assign_hands(notes)
            told.update(hand_reasons(notes, [guess.hand for guess in guesses], guesses))
    assert [text for text in told if words_unsaid(text)] == []
    assert len(told) > 30

"""A note raised or lowered by hand is named as a pianist would name it."""

from __future__ import annotations

import pytest

from core.song.key import Key
from core.song.pitch import Pitch
from core.theory.scale_steps import semitone_away


@pytest.mark.parametrize(
    ("key", "note", "semitones", "name"),
    [
        ("E dorian", "C#5", -1, "C5"),
        ("E dorian", "B4", 1, "C5"),
        ("E minor", "E4", -1, "D#4"),
        ("A minor", "A4", -1, "G#4"),
        ("G# minor", "G#4", -1, "F##4"),
        ("F# major", "F#4", -1, "E#4"),
        ("F# minor", "F#4", 1, "G4"),
        ("Ab major", "C5", 1, "Db5"),
        ("C major", "Eb4", 12, "Eb5"),
        ("C major", "F#4", 0, "F#4"),
    ],
)
def test_a_semitone_is_named_by_the_key(key: str, note: str, semitones: int, name: str) -> None:
    assert semitone_away(Pitch.parse(note), semitones, Key.parse(key)).plain == name

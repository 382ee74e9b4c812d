"""Nearest voicings against three worked examples of close-position voice leading.

Keyboard-style lecture notes (seen in college handouts): from C E G (60 64 67), F major is C F A with a total motion
of 3 semitones, G major is B D G with 3, and A minor is C E A with 2.
"""

from __future__ import annotations

import pytest

from core.song.hand_profile import HandProfile
from core.theory.chord_symbols import parse_chord
from core.theory.voicing import movement, voice


@pytest.mark.parametrize(("following", "tones", "total"), [("F", "C F A", 3), ("G", "B D G", 3), ("Am", "C E A", 2)])
def test_the_nearest_voicing_is_that_of_the_worked_example(following: str, tones: str, total: int) -> None:
    voicings = voice([parse_chord("C"), parse_chord(following)], HandProfile(), "nearest")
    assert [pitch.name.plain for pitch in voicings[0]] == ["C", "E", "G"]
    assert " ".join(pitch.name.plain for pitch in voicings[1]) == tones
    assert movement(voicings) == total

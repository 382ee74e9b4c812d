"""Nearest voicings against three worked examples of close-position voice leading.

Keyboard-style lecture notes (seen in college handouts): from C E G (60 64 67), F major is C F A (60 65 69) with a
total motion of 3 semitones, G major is B D G (59 62 67) with 3, and A minor is C E A (60 64 69) with 2. The left hand
plays them an octave lower.
"""

from __future__ import annotations

import pytest

from core.song.hand_profile import HandProfile
from core.song.pitch import Pitch
from core.theory.chord_symbols import parse_chord
from core.theory.voicing import Asked, movement, voice, voice_each

C_MAJOR = tuple(Pitch.parse(text) for text in ("C3", "E3", "G3"))
EXAMPLES = [("F", "C F A", (60, 65, 69), 3), ("G", "B D G", (59, 62, 67), 3), ("Am", "C E A", (60, 64, 69), 2)]


@pytest.mark.parametrize(("following", "tones", "midis", "total"), EXAMPLES)
def test_the_nearest_voicing_is_that_of_the_worked_example(
    following: str, tones: str, midis: tuple[int, ...], total: int
) -> None:
    voicings = voice([parse_chord("C"), parse_chord(following)], HandProfile(), "nearest")
    assert voicings[0] == C_MAJOR
    assert " ".join(pitch.name.plain for pitch in voicings[1]) == tones
    assert tuple(pitch.midi + 12 for pitch in voicings[1]) == midis
    assert movement(voicings) == total


@pytest.mark.parametrize(("following", "midis", "total"), [(name, midis, total) for name, _, midis, total in EXAMPLES])
def test_the_same_comes_after_a_chord_that_is_already_held(following: str, midis: tuple[int, ...], total: int) -> None:
    asked = [Asked(parse_chord(following), "nearest"), Asked(parse_chord("C"), "root")]
    near, root = voice_each(asked, HandProfile(), C_MAJOR)
    assert tuple(pitch.midi + 12 for pitch in near) == midis
    assert movement((C_MAJOR, near)) == total
    assert root == C_MAJOR

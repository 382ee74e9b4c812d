from __future__ import annotations

import pytest
from msgspec.structs import replace

from core.arranging.embellished import embellished
from core.arranging.left_hand import PATTERNS
from core.arranging.right_hand import HARMONIES
from core.edits.set_teaching import set_harmony, set_pattern
from core.session.analysis import part_effort
from core.song.hand_profile import HandProfile
from tests.helpers.songs import DEMO_SONGS, night_ferry


@pytest.mark.parametrize("name", DEMO_SONGS)
@pytest.mark.parametrize("pattern", [pattern.name for pattern in PATTERNS])
def test_every_generated_left_hand_is_fingered_and_graded(name: str, pattern: str) -> None:
    song = DEMO_SONGS[name]()
    made = embellished(song, 2, pattern)
    assert len(made.left_fingers.fingers) == len(made.left)
    assert all(1 <= fingered.finger <= 5 for fingered in made.left_fingers.fingers)
    assert made.effort.total == pytest.approx(part_effort(song, 2, pattern).total)
    assert made.remarks == ()


@pytest.mark.parametrize("harmony", [harmony.name for harmony in HARMONIES])
def test_every_generated_right_hand_is_fingered(harmony: str) -> None:
    made = embellished(night_ferry(), 1, harmony=harmony)
    assert len(made.right_fingers.fingers) == len(made.right)
    for note, fingered in zip(made.right, made.right_fingers.fingers, strict=True):
        others = [
            other.finger
            for beside, other in zip(made.right, made.right_fingers.fingers, strict=True)
            if beside.onset == note.onset and beside is not note
        ]
        assert fingered.finger not in others


def test_the_parts_own_choices_are_taken_and_said() -> None:
    song = set_harmony(set_pattern(night_ferry(), 1, "bass_chords"), 1, "thirds")
    made = embellished(song, 1)
    assert made.words == (
        "Left hand: root, chord, the fifth below, chord, one to each beat.",
        "Right hand: a second note a third below, as the chord has it.",
    )
    assert embellished(night_ferry(), 1).words == ()
    assert [(mark.down, mark.up) for mark in made.pedal] == [(0, 40_320), (40_320, 80_640)]


def test_what_a_small_hand_takes_otherwise_is_told() -> None:
    song = replace(night_ferry(), hands=HandProfile(left_reach=9))
    assert embellished(song, 1, "octaves").remarks == (
        "Bars 1 to 2: the octave lies beyond your hand, so its lower note is played alone.",
    )

"""The left hand's patterns against their definitions in keyboard texts.

Each row: pattern, metre, and what is struck in one bar as (onset in quarter notes, tones, length), with root, fifth,
octave and tenth as R, 5, 8, 10, the fifth below as 5_, and lowest, middle and highest tone of the close triad as
L, M, H. Block, low-high-middle-high, bass and chords (two and three beats), root-fifth-octave and octaves: seen in
several keyboard texts and reference articles. Rising broken chord, root-fifth-tenth, the 3 + 2 + 3 rhythm and the
held fifth: from memory.
"""

from __future__ import annotations

import pytest

from core.arranging.left_hand import left_hand
from core.song.chord import Chord
from core.song.hand_profile import HandProfile
from core.song.metre import Metre, MetreChange
from core.song.part import Part
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from core.theory.chord_symbols import parse_chord

TRIAD = ("L", "M", "H")
DEFINITIONS = [
    ("block", "4/4", [(0, TRIAD, 4)]),
    (
        "low_high_middle_high",
        "4/4",
        [(place / 2, (tone,), 0.5) for place, tone in enumerate(("L", "H", "M", "H", "L", "H", "M", "H"))],
    ),
    ("broken", "3/4", [(0, ("L",), 1), (1, ("M",), 1), (2, ("H",), 1)]),
    ("broken_up", "3/4", [(0, ("L",), 1), (1, ("M",), 1), (2, ("H",), 1)]),
    ("bass_chords", "3/4", [(0, ("R",), 1), (1, TRIAD, 1), (2, TRIAD, 1)]),
    ("bass_chords", "4/4", [(0, ("R",), 1), (1, TRIAD, 1), (2, ("5_",), 1), (3, TRIAD, 1)]),
    (
        "root_fifth_octave",
        "4/4",
        [(place / 2, (tone,), 0.5) for place, tone in enumerate(("R", "5", "8", "5", "R", "5", "8", "5"))],
    ),
    ("tenth", "4/4", [(0, ("R",), 1), (1, ("5",), 1), (2, ("10",), 2)]),
    ("octaves", "4/4", [(beat, ("R", "8"), 1) for beat in range(4)]),
    ("long_short_long", "4/4", [(0, ("R",), 1.5), (1.5, ("R",), 1), (2.5, ("R",), 1.5)]),
    ("held_fifth", "4/4", [(0, ("R", "5"), 4)]),
]
ABOVE_ROOT = {"R": 0, "5": 7, "8": 12, "10": 16, "5_": -5, "L": 0, "M": 4, "H": 7}


@pytest.mark.parametrize(("pattern", "metre", "events"), DEFINITIONS)
def test_a_pattern_is_what_keyboard_texts_define(
    pattern: str, metre: str, events: list[tuple[float, tuple[str, ...], float]]
) -> None:
    bar = Metre.parse(metre)
    part = Part(bar.bar_ticks, chords=(Chord(0, bar.bar_ticks, parse_chord("C")),))
    song = Song("C", (part,), metres=(MetreChange(0, bar),), hands=HandProfile())
    struck: dict[tuple[float, float], list[int]] = {}
    for note in left_hand(song, 1, pattern):
        place = (note.onset / TICKS_PER_QUARTER, note.duration / TICKS_PER_QUARTER)
        struck.setdefault(place, []).append(note.pitch.midi)
    expected = [(onset, length) for onset, _, length in events]
    assert list(struck) == expected
    roots = {"voiced": 48, "bass": min(min(midis) for midis in struck.values() if min(midis) % 12 == 0)}
    for (_, tones, _), midis in zip(events, struck.values(), strict=True):
        root = roots["voiced" if set(tones) & set(TRIAD) else "bass"]
        assert sorted(midis) == [root + ABOVE_ROOT[tone] for tone in tones]

"""The left hand's patterns.

Definitions: block, octaves on each beat, low-high-middle-high, bass and chords with the fifth below, bass and chord
and chord, root-fifth-octave: seen in several keyboard texts and reference articles. Rising broken chord,
root-fifth-tenth, 3 + 2 + 3 and the held fifth: from memory. The rest is common practice.
"""

from __future__ import annotations

from typing import Final

from core.arranging.patterns import LeftHandPattern
from core.song.pattern_grid import Grid
from core.song.wording import to_say, to_say_in

WALKING: Final = "walking"


def _plain(division: int, *texts: str) -> tuple[Grid, ...]:
    return tuple(Grid.parse(text, division) for text in texts)


def _dotted(division: int, *texts: str) -> tuple[Grid, ...]:
    return tuple(Grid.parse(text, division, compound=True) for text in texts)


PATTERNS: Final = (
    LeftHandPattern(
        "block",
        to_say_in("pattern of the left hand", "block chords"),
        to_say("Left hand: all notes of the chord together, and hold them."),
        _plain(1, "C"),
        over_chord=True,
    ),
    LeftHandPattern(
        "bass_note",
        to_say_in("pattern of the left hand", "one bass note"),
        to_say("Left hand: only the lowest note of the chord, and hold it."),
        _plain(1, "R"),
        over_chord=True,
    ),
    LeftHandPattern(
        "block_beats",
        to_say_in("pattern of the left hand", "chords on each beat"),
        to_say("Left hand: all notes of the chord together, on every beat."),
        (*_plain(1, "C"), *_dotted(1, "C")),
    ),
    LeftHandPattern(
        "broken",
        to_say_in("pattern of the left hand", "broken chords"),
        to_say("Left hand: the notes of the chord one after another, from the lowest up."),
    ),
    LeftHandPattern(
        "broken_up",
        to_say_in("pattern of the left hand", "broken chords, upward"),
        to_say("Left hand: the notes of the chord from the lowest up, then from the lowest again."),
    ),
    LeftHandPattern(
        "octaves",
        to_say_in("pattern of the left hand", "octaves"),
        to_say("Left hand: only the lowest note of the chord, with its octave, on every beat."),
        (*_plain(1, "R+8"), *_dotted(1, "R+8")),
    ),
    LeftHandPattern(
        "octave_chord",
        to_say_in("pattern of the left hand", "octave, then chord"),
        to_say("Left hand: the root with its octave, then the chord above it."),
        (*_plain(1, "R+8", "R+8 U", "R+8 U U"), *_dotted(3, "R+8 - U", "R+8 - - U - -", "R+8 - - U - - U - -")),
    ),
    LeftHandPattern(
        "low_high_middle_high",
        to_say_in("pattern of the left hand", "low, high, middle, high"),
        to_say("Left hand: lowest note, highest, middle, highest, over and over."),
        (*_plain(2, "L H", "L H M H", "L H M H M H", "L H M H L H M H"), *_dotted(3, "L H M", "L H M H M H")),
        by_metre=True,
    ),
    LeftHandPattern(
        "root_fifth_octave",
        to_say_in("pattern of the left hand", "root, fifth, octave"),
        to_say("Left hand: root, fifth, octave, fifth, over and over."),
        (
            *_plain(2, "R 5", "R 5 8 5", "R 5 8 5 8 5", "R 5 8 5 R 5 8 5"),
            *_dotted(3, "R 5 8", "R 5 8 8 5 R", "R 5 8 R 5 8 8 5 R"),
        ),
        by_metre=True,
    ),
    LeftHandPattern(
        "tenth",
        to_say_in("pattern of the left hand", "root, fifth, tenth"),
        to_say("Left hand: root, fifth, then the third an octave higher, and hold that."),
        (
            *_plain(1, "R 10", "R 5 10", "R 5 10 -"),
            *_plain(2, "R 10"),
            *_dotted(3, "R 5 10", "R - 5 10 - -", "R - - 5 - - 10 - -", "R - - 5 - - 10 - - - - -"),
        ),
        by_metre=True,
    ),
    LeftHandPattern(
        "bass_chords",
        to_say_in("pattern of the left hand", "bass and chords"),
        to_say("Left hand: the bass alone on the strong beat, the chord on the beats after it."),
        (
            *_plain(1, "R", "R C", "R C C", "R C 5_ C"),
            *_dotted(3, "R - C", "R - C 5_ - C", "R - C C - C C - C", "R - C 5_ - C R - C 5_ - C"),
        ),
        by_metre=True,
    ),
    LeftHandPattern(
        "offbeat",
        to_say_in("pattern of the left hand", "off-beat pulse"),
        to_say("Left hand: the root on the beat, the upper notes of the chord on each off-beat."),
        (*_plain(2, "R U"), *_dotted(3, "R - U")),
    ),
    LeftHandPattern(
        "long_long_short",
        to_say_in("pattern of the left hand", "long, long, short"),
        to_say("Left hand: the root three times, long, long and short."),
        (
            *_plain(4, "R - - R"),
            *_plain(4, "R - - R - - R -"),
            *_plain(2, "R - - R - R", "R - - R - - R -"),
            *_dotted(3, "R - R", "R - - R - R", "R - - - R - - R -"),
        ),
        keeps_bar=True,
        by_metre=True,
    ),
    LeftHandPattern(
        "long_short_long",
        to_say_in("pattern of the left hand", "long, short, long"),
        to_say("Left hand: the root three times, long, short and long."),
        (
            *_plain(4, "R - - R"),
            *_plain(4, "R - - R - R - -"),
            *_plain(2, "R - - R R -", "R - - R - R - -"),
            *_dotted(3, "R - R", "R - - R R -", "R - - - R - R - -"),
        ),
        keeps_bar=True,
        by_metre=True,
    ),
    LeftHandPattern(
        "held_fifth",
        to_say_in("pattern of the left hand", "held fifth"),
        to_say("Left hand: the root with the fifth above it, held through the bar."),
        (*_plain(1, "R+5", "R+5 -", "R+5 - -", "R+5 - - -"), *_dotted(1, "R+5", "R+5 -", "R+5 - -", "R+5 - - -")),
    ),
    LeftHandPattern(
        WALKING,
        to_say_in("pattern of the left hand", "walking"),
        to_say("Left hand: one note to each beat, and by step to the root of the next chord."),
    ),
)

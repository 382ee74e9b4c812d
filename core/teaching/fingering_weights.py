"""The weights of our own fingering costs, in thousandths of a point of the published model.

Where they come from is told in `fingering_cost`. Where a weight stands for a rule of the published model, the
published value is named. A tuple of five is by finger, thumb first.
"""

from __future__ import annotations

from typing import Final

WHOLE: Final = 20
"""Share of a cost that counts in full, in twentieths; less counts after a rest."""
POINT: Final = 1000 * WHOLE
"""Units of cost in one point of the published model."""

ALIKE: Final = 300
"""Another finger on the same note of the next octave of one run, or on the last note of a passage that comes back."""
UNLIKE_BEFORE: Final = 1500
"""Another finger on any other note of a passage that comes back."""
UNLIKE_FOR_LONG: Final = 6000
"""The same in a longer passage."""

ON_WHITE: Final = (0, 100, 70, 130, 72)
"""Each finger on a white key (published 0, 0, 0, 1000, 1000); the thumb is the finger that leads the hand."""
ON_BLACK: Final = (170, 100, 100, 310, 255)
"""Each finger on a black key where the tune is settled (published 1000, 0, 0, 1000, 1000)."""
ON_BLACK_WHILE_MOVING: Final = (3187, 0, 0, 0, 85)
"""More on a black key where the passage moves on."""
BLACK_BESIDE_WHITE: Final = (120, 0, 0, 0, 145)
"""For each white neighbour of a black key, by the finger on the black key (published 2000, 0, 0, 0, 2000)."""
BLACK_BESIDE_WHITE_WHILE_MOVING: Final = (472, 0, 0, 0, 886)
"""More where the passage moves on."""
RUN_FROM_WHITE: Final = (0, 1090, 155, 0, 0)
"""On the white key nearest to the thumb's side of a run of five notes or more: what gives the hand little room."""
RUN_FROM_BLACK: Final = (0, 1460, 705, 0, 0)
"""The same on a black key."""
RUN_TO_WHITE: Final = (3391, 0, 0, 0, 25)
"""On the white key of a run that is farthest from the thumb's side."""
RUN_TO_BLACK: Final = (0, 82, 0, 1057, 2636)
"""The same on a black key."""

BEYOND: Final = 10000
"""For each semitone beyond what can be played at all."""
STRETCH_WITH_THUMB: Final = 2000
"""For each semitone beyond what is comfortable (published 2000)."""
STRETCH: Final = 150
"""The same between two fingers without the thumb (published 2000)."""
SMALL_WITH_THUMB: Final = 200
"""For each semitone closer than relaxed (published 1000)."""
SMALL: Final = 1153
"""The same without the thumb (published 2000)."""
LARGE_WITH_THUMB: Final = 1000
"""For each semitone wider than relaxed (published 1000)."""
LARGE: Final = 145
"""The same without the thumb (published 2000)."""
OPENED_WITH_THUMB: Final = 1031
"""For each step that a thumb and a finger lie wider than a finger to a step."""
OPENED: Final = 613
"""The same without the thumb."""
OPENED_BETWEEN: Final = {(3, 4): 419, (4, 5): 18}
"""More between neighbours that open less easily."""
CLOSED_WITH_THUMB: Final = 485
"""For each step that a thumb and a finger lie closer than a finger to a step."""
FOURTH: Final = 5
FOURTH_BETWEEN_NEIGHBOURS: Final = 4000
"""A fourth or more, so many semitones, between neighbours without the thumb."""

PASS: Final = 1771
PASS_ON_WHITE: Final = 980
"""Thumb and finger both on white keys (published 1000)."""
PASS_ON_BLACK: Final = 1670
"""Thumb and finger both on black keys (published 1000)."""
PASS_THUMB_ON_BLACK: Final = 3000
"""The thumb on a black key, the finger on a white one (published 3000)."""
PASS_UNDER_BLACK_BY_SEMITONE: Final = {2: 680, 3: 440}
"""By finger: it is on a black key and the thumb on the white key beside, where there is little room."""
PASS_WITH: Final = {2: 200, 3: 560, 4: 1141, 5: 20000}
"""By the finger that passes or is passed."""
PASS_WITH_ON_WHITE: Final = {2: 1137, 3: 125}
"""More by that finger where both are on white keys."""
PASS_WITH_ON_BLACK: Final = {4: 740}
"""More by that finger where both are on black keys."""
PASS_WIDER: Final = {2: (0, 464, 569), 3: (440, 528, 0), 4: (299, 895, 0)}
"""More by that finger for each semitone beyond the first, the second and the third."""

REPEATED_WITH_ANOTHER: Final = 4000
"""Another finger on a repeated note."""
LEAST_SHARE_OF_REPEATED: Final = 5
"""So many twentieths of that count after any rest: the hand comes back to the key it left."""
LIFTED: Final = 12000
"""The hand is lifted and set down anew: no two notes in a row ask for more than that …"""
LIFTED_ONTO_THE_SAME: Final = 13000
"""… or than this, where a finger jumps from one key to another or fingers cross without the thumb."""

CHANGED_PLACE: Final = 20
"""A half or full change of position over three notes (published 1000 and 2000, and 1000 for each semitone)."""
CREEP: Final = 1000
"""One finger on two different notes with a note between that is not the thumb's: the hand creeps along."""
GROUP_OF_TWO: Final = 871
"""More where that finger is the thumb."""
OPENED_OVER_THREE: Final = 10
"""For each step that the outer two of three notes in one direction are off a finger to a step."""
WIDE_OVER_THREE: Final = 162
"""For each semitone that they are wider apart than relaxed."""
WIDE_OVER_THREE_WITH_THUMB: Final = 413
"""The same with the thumb."""
CLOSE_OVER_THREE: Final = 150
"""For each semitone that they are closer than relaxed, without the thumb."""
AROUND_THUMB: Final = {(2, 4): 394, (3, 3): 1009, (3, 4): 1182, (4, 4): 1084}
"""The fingers before and after a thumb on which the hand turns."""
MOST_OF_THREE: Final = 4000
"""Three notes in a row add no more than this."""

MOVED_CHORD: Final = 300
"""For each step by which the hand moves from or to notes struck together."""
KEPT_NOTE_CHANGED: Final = 2000
"""Another finger on a note that two chords share."""
OPENED_TOGETHER: Final = 750
"""More for each step that two fingers that strike together are opened, without the thumb."""
STRETCH_TOGETHER: Final = 2000
"""For each semitone beyond what is comfortable between two fingers that strike together, without the thumb."""
HELD_FINGER_TAKEN: Final = 60000
"""The finger that is asked for still holds a key down."""
HELD_CROSSED: Final = 20000
"""A finger on the wrong side of one that holds a key."""

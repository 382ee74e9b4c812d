"""What our own MIDI files carry beside notes, as text events that other programs pass over.

A text event that begins with `PREFIX` holds, after it, a word and what the word needs::

    chord Em              the chord from here on
    key E dorian          the key from here on, which a key signature cannot tell from E minor
    pick-up 3/2           length of the pick-up in quarter notes
    playing order 1 2 1   of the parts that the markers begin
    grace                 the next note is a grace note; its short length is for the ear only
"""

from __future__ import annotations

from typing import Final

PREFIX: Final = "phrasebench: "
PART_MARKER: Final = "Part "
GRACE_TICKS: Final = 630
"""How long a written grace note sounds: a sixty-fourth note."""
RIGHT_TRACK: Final = "Right hand"
LEFT_TRACK: Final = "Left hand"
MICROSECONDS_A_MINUTE: Final = 60_000_000

"""Where a note lies on the keyboard, in words that need no notation."""

from __future__ import annotations

from core.song.pitch import MIDDLE_C, Pitch
from core.teaching.naming import LETTER_NAMES, Names, Naming
from core.teaching.number_words import ordinal_word

_OCTAVE = 7


def keyboard_place(pitch: Pitch, names: Names = LETTER_NAMES) -> str:
    """A note with its place: 'E above middle C', 'second E above middle C', 'B flat below middle C'.

    Middle C itself is 'C in the middle of the keyboard', so that its letter is said once. A scale degree lies nowhere
    on a keyboard, so that places are given by letters then.
    """
    called = names.places
    name = called.said(pitch.name)
    if pitch == MIDDLE_C:
        return f"{name} in the middle of the keyboard"
    steps = pitch.staff_step - MIDDLE_C.staff_step
    above = steps > 0 or (steps == 0 and pitch.alteration > 0)
    how_many = (abs(steps) - 1) // _OCTAVE + 1 if steps else 1
    which = f"{ordinal_word(how_many)} {name}" if how_many > 1 else name
    return f"{which} {'above' if above else 'below'} {called.middle_c}"


def placed_name(pitch: Pitch, names: Names = LETTER_NAMES) -> str:
    """A note named with its place: 'the E above middle C'; with scale degrees 'five, the B above middle C'."""
    place = f"the {keyboard_place(pitch, names)}"
    return f"{names.said(pitch.name)}, {place}" if names.naming is Naming.DEGREES else place

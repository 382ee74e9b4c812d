"""Where a note lies on the keyboard, in words that need no notation."""

from __future__ import annotations

from core.song.pitch import MIDDLE_C, Pitch
from core.song.wording import say
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
        # Translators: a place on the keyboard; it fills “the {place}” and “up from the {place}”, as the ones below do.
        return say("{note} in the middle of the keyboard", note=name)
    steps = pitch.staff_step - MIDDLE_C.staff_step
    above = steps > 0 or (steps == 0 and pitch.alteration > 0)
    how_many = (abs(steps) - 1) // _OCTAVE + 1 if steps else 1
    middle_c = called.middle_c
    if how_many == 1:
        if above:
            return say("{note} above {middle_c}", note=name, middle_c=middle_c)
        return say("{note} below {middle_c}", note=name, middle_c=middle_c)
    which = ordinal_word(how_many)
    if above:
        return say("{ordinal} {note} above {middle_c}", ordinal=which, note=name, middle_c=middle_c)
    return say("{ordinal} {note} below {middle_c}", ordinal=which, note=name, middle_c=middle_c)


def placed_name(pitch: Pitch, names: Names = LETTER_NAMES) -> str:
    """A note named with its place: 'the E above middle C'; with scale degrees 'five, the B above middle C'."""
    place = keyboard_place(pitch, names)
    if names.naming is Naming.DEGREES:
        return say("{degree}, the {place}", degree=names.said(pitch.name), place=place)
    return say("the {place}", place=place)

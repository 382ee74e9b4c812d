"""The fields of an ABC tune that tell key, metre, unit and tempo (ABC standard 2.1, sections 3.1.6 to 3.1.14)."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from msgspec import Struct

from core.song.errors import DomainError
from core.song.key import Key, Mode
from core.song.metre import Metre
from core.song.pitch import NoteName

_TONIC: Final = re.compile(r"([A-Ga-g])\s*([#b♯♭]?)\s*([A-Za-z]*)")
_MODES: Final = {
    "": Mode.MAJOR, "maj": Mode.MAJOR, "ion": Mode.MAJOR, "m": Mode.MINOR, "min": Mode.MINOR, "aeo": Mode.MINOR,
    "dor": Mode.DORIAN, "phr": Mode.PHRYGIAN, "lyd": Mode.LYDIAN, "mix": Mode.MIXOLYDIAN, "loc": Mode.LOCRIAN,
}  # fmt: skip  # a table, read line by line
_OTHER_WORDS: Final = re.compile(
    r"\b(clef|middle|transpose|octave|stafflines|score|sound|shift|name|snm|m|t)\s*=\s*(\"[^\"]*\"|\S+)"
    r"|\b(treble|bass|alto|tenor|perc)\d?([+-]8)?\b",
    re.IGNORECASE,
)
_EXTRA_SIGNS: Final = re.compile(r"(?:(?<=\s)|^)[\^_=]{1,2}/?[A-Ga-g]\b|\bexp\b")
_FRACTION: Final = re.compile(r"(\d+)\s*/\s*(\d+)")
_NUMBER: Final = re.compile(r"\d+(?:\.\d+)?")


class AbcKey(Struct, frozen=True):
    """What a K: field says.

    Attributes:
        fifths: sharps of the signature, negative for flats.
        mode: where the field tells one, else None.
        has_extra_signs: whether it adds signs of its own, which are not followed.
    """

    fifths: int
    mode: Mode | None
    has_extra_signs: bool = False


def read_key(text: str) -> AbcKey | None:
    """The key of a K: field, or None where it tells none (``none``, a clef alone)."""
    has_extra_signs = bool(_EXTRA_SIGNS.search(text))
    stripped = _EXTRA_SIGNS.sub(" ", _OTHER_WORDS.sub(" ", text)).strip()
    if stripped in ("HP", "Hp"):
        # The pipes' scale: two sharps; HP leaves them unprinted, but they sound.
        return AbcKey(2, None, has_extra_signs)
    found = _TONIC.match(stripped)
    if found is None or stripped.lower().startswith("none"):
        return None
    written = found[3]
    # M alone is capitalised minor in old files, as in GM; the standard does not mind capitals.
    mode = _MODES.get(written.lower()[:3] if len(written) > 1 else written.lower())
    if mode is None:
        return None
    fifths = Key(NoteName.parse(found[1].upper() + found[2]), mode).fifths
    while abs(fifths) > 7:
        fifths -= 12 if fifths > 0 else -12
    return AbcKey(fifths, mode, has_extra_signs)


def read_metre(text: str) -> Metre | None:
    """The metre of an M: field, or None for free metre and what cannot be counted."""
    text = text.strip()
    if text == "C":
        return Metre(4, 4)
    if text == "C|":
        return Metre(2, 2)
    counts, slash, rest = text.partition("/")
    unit = _NUMBER.match(rest.strip())
    numbers = [int(number) for number in re.findall(r"\d+", counts)]
    if not slash or unit is None or not numbers:
        return None
    try:
        # (2+3+2)/8 is 7/8; of 3/4 2/4, which changes from bar to bar, the first is taken.
        return Metre(sum(numbers) if "+" in counts else numbers[-1], int(unit[0]))
    except (DomainError, ValueError):
        return None


def read_unit(text: str) -> Fraction | None:
    """The unit of an L: field in quarter notes, or None where it makes no sense."""
    found = _FRACTION.search(text)
    if found is None or not int(found[1]) or not int(found[2]):
        return Fraction(4) if text.strip() == "1" else None
    return Fraction(4 * int(found[1]), int(found[2]))


def unit_of(metre: Metre | None) -> Fraction:
    """The unit where no L: field tells it: a sixteenth below three quarters of a whole note, else an eighth."""
    if metre is not None and Fraction(metre.count, metre.unit) < Fraction(3, 4):
        return Fraction(1, 4)
    return Fraction(1, 2)


def read_tempo(text: str, unit: Fraction) -> float | None:
    """Quarter notes a minute of a Q: field, or None where it names no number.

    Args:
        text: ``1/4=120``, ``"Allegro" 3/8=50``, or a bare number, which counts units.
        unit: the unit in quarter notes.
    """
    text = re.sub(r'"[^"]*"', " ", text)
    beats, equals, number = text.partition("=")
    found = _NUMBER.search(number if equals else beats)
    if found is None or not float(found[0]):
        return None
    lengths = [Fraction(4 * int(top), int(bottom)) for top, bottom in _FRACTION.findall(beats) if int(bottom)]
    beat = sum(lengths, Fraction(0)) if equals and lengths else unit
    return float(Fraction(found[0]) * beat)

"""Lengths as note values: a type, dots and a tuplet, several of them tied where one is not enough."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from msgspec import Struct

from core.song.time import TICKS_PER_QUARTER

TYPES: Final = (
    ("breve", 8 * TICKS_PER_QUARTER),
    ("whole", 4 * TICKS_PER_QUARTER),
    ("half", 2 * TICKS_PER_QUARTER),
    ("quarter", TICKS_PER_QUARTER),
    ("eighth", TICKS_PER_QUARTER // 2),
    ("16th", TICKS_PER_QUARTER // 4),
    ("32nd", TICKS_PER_QUARTER // 8),
    ("64th", TICKS_PER_QUARTER // 16),
    ("128th", TICKS_PER_QUARTER // 32),
)
"""Note types by their MusicXML names, with their lengths in ticks."""
TUPLETS: Final = ((1, 1), (3, 2), (5, 4), (7, 4))
"""How many notes stand in the time of how many (common practice)."""
MOST_DOTS: Final = 2


class NoteValue(Struct, frozen=True):
    """One written note's length.

    Attributes:
        ticks: its length.
        type: MusicXML's name for it, or an empty string for a length that no note value has.
        dots: 0 … 2.
        tuplet: so many notes in the time of so many; (1, 1) outside tuplets.
    """

    ticks: int
    type: str = ""
    dots: int = 0
    tuplet: tuple[int, int] = (1, 1)


def _all_values() -> dict[int, NoteValue]:
    """Every length that one note value has, the plainest name for each."""
    values: dict[int, NoteValue] = {}
    for actual, normal in TUPLETS:
        for dots in range(MOST_DOTS + 1):
            for name, length in TYPES:
                dotted = length * (2 ** (dots + 1) - 1)
                ticks, rest = divmod(dotted * normal, 2**dots * actual)
                if not rest and (dots < MOST_DOTS or actual == 1):
                    values.setdefault(ticks, NoteValue(ticks, name, dots, (actual, normal)))
    return values


_VALUES: Final = _all_values()
_LONGEST_FIRST: Final = tuple(sorted(_VALUES, reverse=True))
_PLAIN: Final = tuple(ticks for ticks in _LONGEST_FIRST if _VALUES[ticks].tuplet == (1, 1))


@lru_cache(maxsize=4096)
def note_values(ticks: int) -> tuple[NoteValue, ...]:
    """A length as the fewest tied note values, longest first: without tuplets where three make it, else two with one.

    A length that they do not make is one value without a type: its length is still exact.
    """
    if ticks in _VALUES:
        return (_VALUES[ticks],)
    for lengths, most in ((_PLAIN, 2), (_PLAIN, 3), (_LONGEST_FIRST, 2)):
        found = _made_of(ticks, most, lengths)
        if found is not None:
            return tuple(_VALUES[length] for length in found)
    return (NoteValue(ticks),)


def _made_of(ticks: int, count: int, lengths: tuple[int, ...]) -> tuple[int, ...] | None:
    """So many of some lengths that add up to a length, longest first, or None."""
    for length in lengths:
        if length * count < ticks:
            return None
        rest = ticks - length
        if count == 2:
            if 0 < rest <= length and rest in _VALUES and (lengths is not _PLAIN or rest in _PLAIN):
                return (length, rest)
        elif rest > 0:
            found = _made_of(rest, count - 1, lengths)
            if found is not None and found[0] <= length:
                return (length, *found)
    return None

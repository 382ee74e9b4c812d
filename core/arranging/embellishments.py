"""Embellishments of either hand by one name, as a lesson's settings list them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from core.arranging.left_hand import PATTERNS, PLAIN
from core.arranging.right_hand import HARMONIES, NONE
from core.song.errors import DomainError
from core.song.metre import Metre
from core.song.note import Hand


@dataclass(frozen=True, slots=True)
class Embellishment:
    """Something that a hand does beyond the plain version.

    Attributes:
        name: how settings name it.
        hand: the hand that does it.
        title: how screens and plans name it.
        words_in: what the teacher says of it in a metre.
    """

    name: str
    hand: Hand
    title: str
    words_in: Callable[[Metre], str]


def _always(words: str) -> Callable[[Metre], str]:
    return lambda _: words


EMBELLISHMENTS: Final = (
    *(Embellishment(one.name, Hand.LEFT, one.title, one.words_in) for one in PATTERNS if one.name != PLAIN),
    *(Embellishment(one.name, Hand.RIGHT, one.title, _always(one.words)) for one in HARMONIES if one.name != NONE),
)
"""Every embellishment, the left hand's first; each name once."""
_BY_NAME: Final = {embellishment.name: embellishment for embellishment in EMBELLISHMENTS}
_PLAIN: Final = Embellishment(PLAIN, Hand.LEFT, PATTERNS[0].title, PATTERNS[0].words_in)


def embellishment_named(name: str) -> Embellishment:
    """The embellishment with a name, held chords among them; raises DomainError for an unknown one."""
    if name == PLAIN:
        return _PLAIN
    if name not in _BY_NAME:
        raise DomainError("a pattern or harmony to embellish with", name, "one of " + ", ".join(_BY_NAME))
    return _BY_NAME[name]

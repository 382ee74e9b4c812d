"""Embellishments of either hand by one name, as a lesson's settings list them.

A pattern of the teacher's own is named ``own:`` and its name; a song that does not have it leaves it out.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from core.arranging.left_hand import PATTERNS, PLAIN
from core.arranging.patterns import own_pattern
from core.arranging.right_hand import HARMONIES, NONE
from core.song.errors import DomainError
from core.song.metre import Metre
from core.song.note import Hand
from core.song.song import Song


class Embellishment(Struct, frozen=True):
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
OWN: Final = "own:"
_BY_NAME: Final = {embellishment.name: embellishment for embellishment in EMBELLISHMENTS}
_PLAIN: Final = Embellishment(PLAIN, Hand.LEFT, PATTERNS[0].title, PATTERNS[0].words_in)


def embellishment_named(name: str) -> Embellishment:
    """The embellishment with a name, held chords and own patterns among them.

    Raises:
        DomainError: for an unknown name, or an own pattern without one.
    """
    own = name.removeprefix(OWN)
    if own != name and own and own == " ".join(own.split()):
        return Embellishment(name, Hand.LEFT, own, _always(f"Left hand: a pattern of our own, called {own}."))
    if name == PLAIN:
        return _PLAIN
    if name not in _BY_NAME:
        raise DomainError("a pattern or harmony to embellish with", name, "one of " + ", ".join(_BY_NAME))
    return _BY_NAME[name]


def embellishment_in(song: Song, name: str) -> Embellishment | None:
    """`embellishment_named`, an own pattern with the words for what it plays; None for one that the song has not."""
    found = embellishment_named(name)
    if not name.startswith(OWN):
        return found
    own = next((own for own in song.patterns if own.name == found.title), None)
    return None if own is None else replace(found, words_in=own_pattern(own).words_in)

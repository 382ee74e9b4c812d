"""Embellishments of either hand by one name, as a lesson's settings list them.

A pattern of the teacher's own is named ``own:`` and its name; a song that does not have it leaves it out.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from msgspec import Struct

from core.arranging.left_hand import PATTERNS, PLAIN
from core.arranging.patterns import LeftHandPattern, own_pattern
from core.arranging.right_hand import HARMONIES, NONE, RightHandHarmony
from core.song.errors import DomainError
from core.song.metre import Metre
from core.song.note import Hand
from core.song.song import Song
from core.song.wording import say


class Embellishment(Struct, frozen=True):
    """Something that a hand does beyond the plain version.

    Attributes:
        name: how settings name it.
        hand: the hand that does it.
        titled: how screens and plans name it.
        words_in: what the teacher says of it in a metre.
    """

    name: str
    hand: Hand
    titled: Callable[[], str]
    words_in: Callable[[Metre], str]

    @property
    def title(self) -> str:
        """How screens and plans name it."""
        return self.titled()


def _of_left_hand(pattern: LeftHandPattern, name: str = "") -> Embellishment:
    return Embellishment(name or pattern.name, Hand.LEFT, lambda: pattern.title, pattern.words_in)


def _of_right_hand(harmony: RightHandHarmony) -> Embellishment:
    return Embellishment(harmony.name, Hand.RIGHT, lambda: harmony.title, lambda _: harmony.words)


EMBELLISHMENTS: Final = (
    *(_of_left_hand(pattern) for pattern in PATTERNS if pattern.name != PLAIN),
    *(_of_right_hand(harmony) for harmony in HARMONIES if harmony.name != NONE),
)
"""Every embellishment, the left hand's first; each name once."""
OWN: Final = "own:"
_BY_NAME: Final = {embellishment.name: embellishment for embellishment in EMBELLISHMENTS}
_PLAIN: Final = _of_left_hand(PATTERNS[0])


def embellishment_named(name: str) -> Embellishment:
    """The embellishment with a name, held chords and own patterns among them.

    Raises:
        DomainError: for an unknown name, or an own pattern without one.
    """
    own = name.removeprefix(OWN)
    if own != name and own and own == " ".join(own.split()):
        return Embellishment(
            name,
            Hand.LEFT,
            lambda: own,
            lambda _: say("Left hand: a pattern of our own, called {name}.", name=own),
        )
    if name == PLAIN:
        return _PLAIN
    if name not in _BY_NAME:
        raise DomainError(
            say("a pattern or harmony to embellish with"), name, say("one of {names}", names=", ".join(_BY_NAME))
        )
    return _BY_NAME[name]


def embellishment_in(song: Song, name: str) -> Embellishment | None:
    """`embellishment_named`, an own pattern with the words for what it plays; None for one that the song has not."""
    found = embellishment_named(name)
    if not name.startswith(OWN):
        return found
    own = next((own for own in song.patterns if own.name == found.title), None)
    return None if own is None else _of_left_hand(own_pattern(own), name)

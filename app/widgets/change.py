"""A change to the song that the mouse would make, and why it may not be made."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from msgspec import Struct

from app.widgets.selection import Place
from core.song.metre import Metre
from core.song.song import Song


def grid(metre: Metre) -> int:
    """The step in which notes move and grow: half a beat, in a compound metre its third."""
    return metre.unit_ticks if metre.is_compound else metre.unit_ticks // 2


class Change(Struct, frozen=True):
    """A change to the song, what it is called, and what is selected after it.

    Attributes:
        edit: the song before in, the song after out; raises EditError to refuse.
        label: what the change is called in the menu.
        select: the place to select in the song after.
        heard: MIDI number of a note to be heard, or None.
        several: the places to select together in the song after, where there are several.
    """

    edit: Callable[[Song], Song]
    label: str
    select: Callable[[Song], Place]
    heard: int | None = None
    several: Callable[[Song], frozenset[Place]] | None = None


class Refusal(Struct, frozen=True):
    """Why letting go here would change nothing: what is in the way, and what would help."""

    reason: str


class Drag(Protocol):
    """A drag that has begun."""

    def change(self, right: float, down: float, *, chromatic: bool) -> Change | Refusal | None:
        """The change that letting go would make, by pixels moved at 100 %; None where it would make none.

        Raises DomainError where it would leave every keyboard.
        """

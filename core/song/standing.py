"""How far a lesson has come, who asked for it, and whether its song may be published."""

from __future__ import annotations

from datetime import date
from typing import Final

from msgspec import Struct

from core.song.errors import DomainError
from core.song.wording import say

WANTED, DRAFTED, RECORDED, PUBLISHED = "wanted", "drafted", "recorded", "published"
STATES: Final = (WANTED, DRAFTED, RECORDED, PUBLISHED)
"""From a wish to a published lesson, in this order."""


class Standing(Struct, frozen=True):
    """What a lesson's owner keeps about it besides the music.

    Attributes:
        state: one of ``STATES``; a song can be wanted before a note of it exists.
        asked_by: who asked for the song; may be empty.
        asked_on: the day they asked, as ``2026-11-25``; may be empty.
        rights_cleared: whether its owner says that the song may be sold and published.
    """

    state: str = DRAFTED
    asked_by: str = ""
    asked_on: str = ""
    rights_cleared: bool = False

    def __post_init__(self) -> None:
        if self.state not in STATES:
            raise DomainError(say("a lesson's state"), self.state, say("one of {names}", names=", ".join(STATES)))
        if self.asked_on:
            try:
                date.fromisoformat(self.asked_on)
            except ValueError as error:
                raise DomainError(
                    say("the day a song was asked for"), self.asked_on, say("a day such as 2026-11-25")
                ) from error

    @property
    def was_taught(self) -> bool:
        """Whether the lesson has been recorded or published."""
        return self.state in (RECORDED, PUBLISHED)

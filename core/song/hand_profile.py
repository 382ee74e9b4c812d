"""The player's hands: what each reaches."""

from __future__ import annotations

from msgspec import Struct

from core.song.errors import DomainError
from core.song.note import Hand
from core.song.wording import say, to_say


class HandProfile(Struct, frozen=True):
    """What a player's hands reach without strain.

    Attributes:
        right_reach: widest comfortable interval of the right hand in semitones, 7 … 17; 12 is an octave.
        left_reach: the same of the left hand.
    """

    right_reach: int = 12
    left_reach: int = 12

    def __post_init__(self) -> None:
        for field, reach in (
            (to_say("the right hand's reach"), self.right_reach),
            (to_say("the left hand's reach"), self.left_reach),
        ):
            if not 7 <= reach <= 17:
                raise DomainError(say(field), reach, say("from 7 (a fifth) to 17 (an eleventh) semitones"))

    def reach(self, hand: Hand) -> int:
        """Widest comfortable interval of a hand in semitones."""
        return self.right_reach if hand is Hand.RIGHT else self.left_reach

"""The two hands as they are named in what is said."""

from __future__ import annotations

from typing import Final

from core.song.note import Hand
from core.song.wording import say, to_say

_HANDS: Final = {Hand.RIGHT: to_say("the right hand"), Hand.LEFT: to_say("the left hand")}
_AT_A_START: Final = {Hand.RIGHT: to_say("The right hand"), Hand.LEFT: to_say("The left hand")}
OTHER_HAND: Final = {Hand.RIGHT: Hand.LEFT, Hand.LEFT: Hand.RIGHT}


def hand_said(hand: Hand) -> str:
    """A hand as the subject of a clause: ``the left hand``."""
    return say(_HANDS[hand])


def hand_at_a_start(hand: Hand) -> str:
    """A hand as the subject that a sentence begins with: ``The left hand``."""
    return say(_AT_A_START[hand])

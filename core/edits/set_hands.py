"""The player's reach."""

from __future__ import annotations

from msgspec.structs import replace

from core.song.note import Hand
from core.song.song import Song


def set_hands(song: Song, hand: Hand, reach: int) -> Song:
    """Say how far a hand reaches without strain; voicings, fingers and effort follow.

    Args:
        song: the song before.
        hand: which hand.
        reach: its widest comfortable interval in semitones, 7 … 17.

    Raises:
        DomainError: for a reach outside that range.
    """
    field = "right_reach" if hand is Hand.RIGHT else "left_reach"
    hands = replace(song.hands, **{field: reach})
    return song if hands == song.hands else replace(song, hands=hands)

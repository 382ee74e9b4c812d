"""Notes and hands."""

from __future__ import annotations

from enum import Enum

from msgspec import Struct

from core.song.errors import DomainError
from core.song.pitch import Pitch
from core.song.wording import say

GRACE_ABOVE, GRACE_BELOW, TURN = "grace_above", "grace_below", "turn"
ORNAMENTS = ("", GRACE_ABOVE, GRACE_BELOW, TURN)

Extra = tuple[tuple[str, str], ...]
"""Fields of a file that this version does not know: pairs of a name and its JSON text, kept as they came."""


class Hand(Enum):
    """The hand that plays."""

    RIGHT = "right"
    LEFT = "left"


class Note(Struct, frozen=True):
    """One sounding note; tied notes are one note.

    Attributes:
        onset: ticks from the start of the part that owns the note, 0 or more.
        duration: ticks, 0 for a grace note. A note may sound past its part's end.
        pitch: the spelled pitch.
        hand: the hand that plays it.
        hand_given: whether the source or the teacher named the hand; False where it was computed.
        melody: whether it belongs to the plain version's right hand.
        finger: the teacher's own finger, 1 (thumb) … 5, or None where it is left to be computed.
        extra: unknown fields of a lesson file, kept.
        ornament: ``grace_above``, ``grace_below`` or ``turn``, of the melody; empty for none.
    """

    onset: int
    duration: int
    pitch: Pitch
    hand: Hand = Hand.RIGHT
    hand_given: bool = False
    melody: bool = True
    finger: int | None = None
    extra: Extra = ()
    ornament: str = ""

    def __post_init__(self) -> None:
        if self.onset < 0:
            raise DomainError(say("a note's onset"), self.onset, say("0 or more ticks from its part's start"))
        if self.duration < 0:
            raise DomainError(say("a note's duration"), self.duration, say("0 or more ticks"))
        if self.finger is not None and not 1 <= self.finger <= 5:
            raise DomainError(say("a note's finger"), self.finger, say("1 (thumb) to 5 (little finger)"))

        if self.ornament not in ORNAMENTS:
            raise DomainError(say("a note's ornament"), self.ornament, say("grace_above, grace_below or turn"))

    @property
    def end(self) -> int:
        """Tick at which the note stops, from its part's start."""
        return self.onset + self.duration

    @property
    def is_grace(self) -> bool:
        """Whether it is a grace note, which takes no time of its own."""
        return self.duration == 0

    @property
    def order(self) -> tuple[int, int, int]:
        """Sorting key: onset, then grace notes in the order they are in, then what they lead to by pitch."""
        return (self.onset, 1, self.pitch.midi) if self.duration else (self.onset, 0, 0)

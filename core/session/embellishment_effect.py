"""What an embellishment costs before it is kept: the effort of a part as it is and as it would be, and its reach."""

from __future__ import annotations

from msgspec import Struct

from core.arranging.left_hand import left_hand, left_hand_remarks
from core.arranging.right_hand import right_hand
from core.session.analysis import part_effort
from core.song.note import Hand
from core.song.song import Song
from core.song.wording import say
from core.teaching.reach import beyond_reach
from core.teaching.sentences import capital


class Effect(Struct, frozen=True):
    """A part before and after a change of how it is embellished.

    Attributes:
        before: effort as it is, 0 … 100.
        after: effort as it would be.
        reach: one sentence about what the hands reach then.
    """

    before: float
    after: float
    reach: str

    @property
    def sentence(self) -> str:
        """Effort and reach in words."""
        before, after = round(self.before), round(self.after)
        if before == after:
            return say("Effort {effort} of 100. {reach}", effort=after, reach=self.reach)
        return say(
            "Effort {effort} of 100; it is {effort_now} now. {reach}", effort=after, effort_now=before, reach=self.reach
        )


def effect(before: Song, after: Song, number: int) -> Effect:
    """What changes for a part between two songs that differ in how it is embellished.

    Raises:
        DomainError: for a part that is not there.
    """
    return Effect(part_effort(before, number).total, part_effort(after, number).total, reach_sentence(after, number))


def reach_sentence(song: Song, number: int) -> str:
    """Whether the hands reach all that a part plays, or what is taken smaller for them and what remains too far."""
    found = [remark for _, remark in left_hand_remarks(song, number)]
    for hand, notes in ((Hand.RIGHT, right_hand(song, number)), (Hand.LEFT, left_hand(song, number))):
        for beyond in beyond_reach(notes, hand, song.hands):
            found.append(capital(beyond.sentence))
            break
    return " ".join(found) if found else say("Both hands reach all of it.")

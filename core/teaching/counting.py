"""How a player counts: in beats, or in the short notes of a compound metre."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from typing import Final

from msgspec import Struct

from core.song.metre import Metre
from core.song.wording import say_counted
from core.teaching.number_words import BEAT, COUNT, beats_words, number_word

PLAIN_PARTS: Final = (
    Fraction(1, 2),
    Fraction(1, 4),
    Fraction(3, 4),
    Fraction(1, 3),
    Fraction(2, 3),
    Fraction(0),
    Fraction(1),
)
"""What a count is divided into when a length is said; of two that are as near, the earlier one."""
NEAR_ENOUGH: Final = Fraction(1, 12)
"""Counts; nobody hears, or plays, a note that much longer or shorter on purpose (half of the way from 1/2 to 2/3)."""


class Counting(Struct, frozen=True):
    """What one count is: its length in ticks, and whether it is a ``beat`` or a ``count`` of a compound metre.

    Beginners are taught to count the eighths of 6/8 rather than its two dotted beats (common practice).
    """

    ticks: int
    noun: str

    @classmethod
    def of(cls, metre: Metre) -> Counting:
        """How a metre is counted."""
        return cls(metre.unit_ticks, COUNT if metre.is_compound else BEAT)

    def plain(self, duration: int) -> int:
        """The plain length in ticks that a duration is said as; itself where none is near enough."""
        return _plain(self.ticks, duration)

    def is_plain(self, duration: int) -> bool:
        """Whether a length is near enough to a plain one to be said as that."""
        plain = self.plain(duration)
        return plain != duration or Fraction(duration % self.ticks, self.ticks) in PLAIN_PARTS

    def words(self, duration: int) -> str:
        """A length in ticks as it is said, such as 'two beats'; a played one as the plain length that is meant."""
        return beats_words(Fraction(self.plain(duration), self.ticks), self.noun)


@lru_cache(maxsize=4096)
def _plain(ticks: int, duration: int) -> int:
    whole = duration // ticks
    lengths = [(whole + part) * ticks for part in PLAIN_PARTS if whole + part]
    nearest = min(lengths, key=lambda length: abs(length - duration))
    return int(nearest) if abs(nearest - duration) <= NEAR_ENOUGH * ticks else duration


def counting_sentence(metre: Metre) -> str:
    """What ties the counts of a compound metre to its beats; empty for a metre that is counted in its beats."""
    if not metre.is_compound:
        return ""
    return say_counted(
        "Count {counts} in a bar; {beats} beat of three.",
        "Count {counts} in a bar; {beats} beats of three.",
        metre.beats,
        counts=number_word(metre.count),
        beats=number_word(metre.beats),
    )

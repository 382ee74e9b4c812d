"""How a player counts: in beats, or in the short notes of a compound metre."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from core.song.metre import Metre
from core.teaching.number_words import beats_words


@dataclass(frozen=True, slots=True)
class Counting:
    """What one count is: its length in ticks, and what a teacher calls it.

    Beginners are taught to count the eighths of 6/8 rather than its two dotted beats (common practice).
    """

    ticks: int
    noun: str

    @classmethod
    def of(cls, metre: Metre) -> Counting:
        """How a metre is counted."""
        return cls(metre.unit_ticks, "count" if metre.is_compound else "beat")

    def words(self, duration: int) -> str:
        """A length in ticks as it is said, such as 'two beats'."""
        return beats_words(Fraction(duration, self.ticks), self.noun)

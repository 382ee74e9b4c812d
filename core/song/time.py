"""Score time: a whole count of ticks, 10,080 to the quarter note.

10,080 is 2⁵·3²·5·7, so that everything from 128th notes to triplets, quintuplets and septuplets is exact.
Score time is never a float; quarter notes as fractions are for reading and writing.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

TICKS_PER_QUARTER: Final = 10_080


def ticks(quarters: Fraction | float) -> int:
    """Quarter notes as ticks, to the nearest tick."""
    return round(Fraction(quarters) * TICKS_PER_QUARTER)


def quarters(tick_count: int) -> Fraction:
    """Ticks as quarter notes, exactly."""
    return Fraction(tick_count, TICKS_PER_QUARTER)


def quarters_number(tick_count: int) -> float:
    """Ticks as quarter notes for JSON, rounded to six decimals (under a hundredth of a tick)."""
    return round(tick_count / TICKS_PER_QUARTER, 6)

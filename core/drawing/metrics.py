"""Widths of text without a screen.

Pictures are laid out before anything is painted, in the window, in a web page and on paper alike, so the widths of
letters come from a table of the text font's advance widths, made beside the fonts and handed in already parsed.
Kerning, which moves a letter by a few hundredths of its height at most, is left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import ceil, floor
from typing import Any

from core.song.errors import DomainError
from core.song.wording import say


@dataclass(frozen=True, slots=True, eq=False)
class FontMetrics:
    """Advance widths and heights of the text font in its two weights.

    Attributes:
        units_per_em: font units to the height of the font.
        above: font units above the baseline, ascenders included.
        below: font units below the baseline.
        capital: height of a capital letter in font units.
        regular: advance width of each letter in font units.
        bold: the same in the heavier weight.
    """

    units_per_em: float
    above: float
    below: float
    capital: float
    regular: Mapping[str, float] = field(repr=False)
    bold: Mapping[str, float] = field(repr=False)

    @classmethod
    def of_table(cls, table: Mapping[str, Any]) -> FontMetrics:
        """The metrics of a parsed table (``metrics.json``); raises DomainError where a field is missing."""
        try:
            advances = table["advances"]
            return cls(
                float(table["units_per_em"]),
                float(table["ascent"]),
                float(table["descent"]),
                float(table["capital_height"]),
                dict(advances["regular"]),
                dict(advances["semibold"]),
            )
        except (KeyError, TypeError) as error:
            raise DomainError(
                say("the table of font widths"), str(error), say("complete: made anew from the fonts")
            ) from error

    def has(self, letter: str) -> bool:
        """Whether the project's fonts have a letter."""
        return letter in self.regular

    def width(self, text: str, size: float, bold: bool = False) -> float:
        """Width of a line of text in pixels at a size in pixels.

        A letter that the font does not have is taken to be one em wide, which is never too little for the
        alphabets of a piano teacher's titles.
        """
        advances = self.bold if bold else self.regular
        em = self.units_per_em
        return sum(advances.get(letter, em) for letter in text) * size / em

    def ascent(self, size: float) -> float:
        """Pixels from the baseline up to the top of the tallest letter."""
        return self.above * size / self.units_per_em

    def descent(self, size: float) -> float:
        """Pixels from the baseline down to the foot of the longest letter."""
        return self.below * size / self.units_per_em

    def capital_height(self, size: float) -> float:
        """Height of a capital letter in pixels; half of it below a centre line puts a letter on its middle."""
        return self.capital * size / self.units_per_em

    def fitting_size(self, text: str, room: float, largest: float, smallest: float, bold: bool = False) -> float | None:
        """The largest size in whole pixels at which text fits into a room in pixels; None if none does.

        Whole pixels, since some painters know no others.
        """
        width_at_one = self.width(text, 1.0, bold)
        for size in range(floor(largest), ceil(smallest) - 1, -1):
            if width_at_one * size <= room:
                return float(size)
        return None

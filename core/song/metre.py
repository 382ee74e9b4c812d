"""Metre, and the bars that a song's metres lay over it.

A compound metre (6/8, 9/8, 12/8, and any multiple of three above three over eighths or shorter) is felt in
dotted beats (common practice). A pick-up shortens the first bar: bar 1 begins after it, and the pick-up is
counted as bar 0.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from functools import lru_cache

from msgspec import Struct

from core.song.errors import DomainError
from core.song.time import TICKS_PER_QUARTER
from core.song.wording import say


class Metre(Struct, frozen=True):
    """A time signature.

    Attributes:
        count: how many units make a bar, 1 … 64.
        unit: the unit as a fraction of a whole note: 1, 2, 4, 8, 16, 32 or 64.
    """

    count: int = 4
    unit: int = 4

    def __post_init__(self) -> None:
        if not 1 <= self.count <= 64:
            raise DomainError(say("the upper figure of a metre"), self.count, say("a whole number from 1 to 64"))
        if self.unit not in (1, 2, 4, 8, 16, 32, 64):
            raise DomainError(say("the lower figure of a metre"), self.unit, say("1, 2, 4, 8, 16, 32 or 64"))

    @classmethod
    def parse(cls, text: str) -> Metre:
        """Read a metre such as ``6/8``; raises DomainError for anything else."""
        count, slash, unit = text.strip().partition("/")
        if not slash or not count.strip().isdecimal() or not unit.strip().isdecimal():
            raise DomainError(say("a metre"), text, say("two whole numbers with a slash between them, such as 3/4"))
        return cls(int(count), int(unit))

    @property
    def unit_ticks(self) -> int:
        """Length of the unit in ticks."""
        return 4 * TICKS_PER_QUARTER // self.unit

    @property
    def bar_ticks(self) -> int:
        """Length of a bar in ticks."""
        return self.count * self.unit_ticks

    @property
    def is_compound(self) -> bool:
        """Whether the bar is felt in dotted beats."""
        return self.unit >= 8 and self.count > 3 and self.count % 3 == 0

    @property
    def beat_ticks(self) -> int:
        """Length of a felt beat in ticks: the dotted beat in a compound metre, else the unit."""
        return 3 * self.unit_ticks if self.is_compound else self.unit_ticks

    @property
    def beats(self) -> int:
        """How many felt beats a bar has."""
        return self.bar_ticks // self.beat_ticks

    def __str__(self) -> str:
        return f"{self.count}/{self.unit}"


class MetreChange(Struct, frozen=True):
    """A metre from a bar line on.

    Attributes:
        onset: ticks from the song's start; a bar line, or 0.
        metre: the metre from there on.
    """

    onset: int
    metre: Metre


class Bar(Struct, frozen=True):
    """One bar of a song: its number (0 for a pick-up), its start and length in ticks, its metre."""

    number: int
    onset: int
    duration: int
    metre: Metre

    @property
    def end(self) -> int:
        """Tick at which the next bar begins."""
        return self.onset + self.duration


@lru_cache(maxsize=64)
def bars_of(changes: tuple[MetreChange, ...], pickup: int, length: int) -> tuple[Bar, ...]:
    """The bars that cover a song.

    Args:
        changes: metre changes in order, the first at 0. One inside a bar cuts that bar short there.
        pickup: length of the pick-up in ticks, 0 where there is none.
        length: length of the song in ticks. The last bar may be cut short by the end of the song; its
            duration is then its full written length only where the song fills it.

    The answer is kept, since an edit inside a part leaves the bars of its song as they are.
    """
    bars: list[Bar] = []
    if pickup:
        bars.append(Bar(0, 0, min(pickup, length), changes[0].metre))
    onset, number, index = pickup, 1, 0
    while onset < length:
        while index + 1 < len(changes) and changes[index + 1].onset <= onset:
            index += 1
        metre = changes[index].metre
        end = onset + metre.bar_ticks
        if index + 1 < len(changes):
            end = min(end, changes[index + 1].onset)
        end = min(end, length)
        bars.append(Bar(number, onset, end - onset, metre))
        onset, number = end, number + 1
    return tuple(bars)


def bar_at(bars: Sequence[Bar], tick: int) -> Bar:
    """The bar that holds a moment; the last bar for a moment at or past the end.

    Raises DomainError where there are no bars at all.
    """
    if not bars:
        raise DomainError(say("the bars of a song"), 0, say("at least one"))
    index = bisect_right(bars, tick, key=lambda bar: bar.onset) - 1
    return bars[max(0, index)]

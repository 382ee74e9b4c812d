"""A chord symbol for a set of chord degrees: the name with the fewest additions, alterations and omissions."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache, lru_cache
from typing import Final

from core.song.chord import ALTERABLE, EXTENSIONS, NEEDS_SEVENTH, ChordSymbol, Degree, Quality
from core.song.pitch import NoteName
from core.theory.chord_tones import chord_degrees

_FAMILY_COST: Final = {
    Quality.MAJOR: 0.0,
    Quality.DOMINANT: 0.0,
    Quality.MINOR: 0.01,
    Quality.HALF_DIMINISHED: 0.2,
    Quality.DIMINISHED: 0.3,
    Quality.AUGMENTED: 0.4,
    Quality.MINOR_MAJOR: 0.4,
    Quality.SUSPENDED_FOURTH: 0.5,
    Quality.SUSPENDED_SECOND: 0.6,
    Quality.POWER: 0.7,
}
_ALTERED: Final = 1.0
_ADDED: Final = 1.5
_ADDED_ALTERED: Final = 2.2
_ADDED_SEVENTH: Final = 2.5
_NO_FIFTH: Final = 1.4
_NO_THIRD: Final = 1.6
_OMITTED: Final = 2.5
_C: Final = NoteName("C")


@cache
def _bases() -> tuple[tuple[ChordSymbol, frozenset[Degree]], ...]:
    """Every family with every extension, and its degrees."""
    symbols = [
        ChordSymbol(_C, quality, extension)
        for quality in _FAMILY_COST
        for extension in EXTENSIONS
        if not (quality in NEEDS_SEVENTH and extension < 7) and not (quality is Quality.POWER and extension > 5)
    ]
    return tuple((symbol, frozenset(chord_degrees(symbol))) for symbol in symbols)


def build_chord(root: NoteName, degrees: Iterable[Degree], bass: NoteName | None = None) -> ChordSymbol:
    """The plainest symbol whose degrees are exactly these.

    Args:
        root: the root.
        degrees: chord degrees (a seventh with alteration 0 is minor); the root itself may be left out of them, and
            the symbol then omits it.
        bass: the lowest note where it is not the root.
    """
    shape, _ = _built(frozenset(degrees))
    return ChordSymbol(root, shape.quality, shape.extension, shape.alterations, shape.added, shape.omitted, bass)


def complexity(degrees: Iterable[Degree]) -> float:
    """How far the plainest symbol for these degrees is from a plain family: 0 for a major or minor triad."""
    return _built(frozenset(degrees))[1]


@lru_cache(maxsize=8192)
def _built(wanted: frozenset[Degree]) -> tuple[ChordSymbol, float]:
    offers = [_offer(base, stack, wanted) for base, stack in _bases()]
    return min(offers, key=lambda offer: offer[1])


def _offer(base: ChordSymbol, stack: frozenset[Degree], wanted: frozenset[Degree]) -> tuple[ChordSymbol, float]:
    """A base made to hold exactly the degrees wanted, and what that costs."""
    missing = {degree.number for degree in stack - wanted}
    alterations: list[Degree] = []
    added: list[Degree] = []
    cost = _FAMILY_COST[base.quality] + 0.05 * base.extension
    for degree in sorted(wanted - stack):
        may_alter = degree.number in ALTERABLE and degree.alteration != 0
        in_stack = degree.number in missing
        free = base.extension >= 7 and degree.number not in {d.number for d in stack}
        if may_alter and (in_stack or free or degree.number in {d.number for d in alterations}):
            alterations.append(degree)
            cost += _ALTERED if degree.number >= 5 else _OMITTED
        else:
            added.append(degree)
            cost += _ADDED_SEVENTH if degree.number == 7 else _ADDED_ALTERED if degree.alteration else _ADDED
    altered = {degree.number for degree in alterations}
    omitted = tuple(sorted(missing - altered))
    if any(degree.number in omitted for degree in added):
        cost += 100.0
    cost += sum({5: _NO_FIFTH, 3: _NO_THIRD}.get(number, _OMITTED) for number in omitted)
    symbol = ChordSymbol(_C, base.quality, base.extension, tuple(alterations), tuple(added), omitted)
    return symbol, cost

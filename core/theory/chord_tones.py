"""The tones of a chord, spelled by theory.

A chord is a stack of degrees over its root, each a letter of its own: the third of A♭ minor is C♭, the third of
B major is D♯, the seventh of C diminished is B𝄫 (common practice). The stacks are those of the W3C MusicXML 4.0
kind-value list: a thirteenth chord has its ninth and eleventh.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from core.song.chord import ChordSymbol, Degree, Quality
from core.song.errors import DomainError
from core.song.pitch import NoteName
from core.theory.intervals import Interval, above, simplest_name

_TRIADS: Final = {
    Quality.MAJOR: (Degree(3), Degree(5)),
    Quality.DOMINANT: (Degree(3), Degree(5)),
    Quality.MINOR: (Degree(3, -1), Degree(5)),
    Quality.MINOR_MAJOR: (Degree(3, -1), Degree(5)),
    Quality.AUGMENTED: (Degree(3), Degree(5, 1)),
    Quality.DIMINISHED: (Degree(3, -1), Degree(5, -1)),
    Quality.HALF_DIMINISHED: (Degree(3, -1), Degree(5, -1)),
    Quality.SUSPENDED_SECOND: (Degree(2), Degree(5)),
    Quality.SUSPENDED_FOURTH: (Degree(4), Degree(5)),
    Quality.POWER: (Degree(5),),
}
_SEVENTHS: Final = {Quality.MAJOR: 1, Quality.MINOR_MAJOR: 1, Quality.DIMINISHED: -1}
"""Alteration of the seventh against the minor seventh, where it is not 0."""


def interval_of(degree: Degree) -> Interval:
    """From the root up to a chord degree; a seventh with alteration 0 is minor."""
    lowered = 1 if degree.number == 7 else 0
    return Interval.of_degree(degree.number, degree.alteration - lowered)


@lru_cache(maxsize=4096)
def chord_degrees(symbol: ChordSymbol) -> tuple[Degree, ...]:
    """The degrees that sound, in order from the root (1); () for no chord."""
    if symbol.is_silent:
        return ()
    stack = [Degree(1), *_TRIADS[symbol.quality]]
    if symbol.extension == 6:
        stack.append(Degree(6))
    if symbol.extension >= 7:
        stack.append(Degree(7, _SEVENTHS.get(symbol.quality, 0)))
    stack += [Degree(number) for number in (9, 11, 13) if number <= symbol.extension]
    altered = {degree.number for degree in symbol.alterations}
    degrees = {degree for degree in stack if degree.number not in altered}
    degrees.update(symbol.alterations, symbol.added)
    return tuple(sorted(degree for degree in degrees if degree.number not in symbol.omitted))


@lru_cache(maxsize=4096)
def chord_tones(symbol: ChordSymbol) -> tuple[NoteName, ...]:
    """The names of a chord's tones, root first, in stacked order; () for no chord.

    A slash chord's bass is not among them unless it is a chord tone. A tone that would need more than a triple
    flat or sharp takes the simplest name of its key.
    """
    names: list[NoteName] = []
    for degree in chord_degrees(symbol):
        interval = interval_of(degree)
        try:
            name = above(symbol.root, interval)
        except DomainError:
            name = simplest_name(symbol.root.pitch_class + interval.semitones)
        if name not in names:
            names.append(name)
    return tuple(names)


def semitones(symbol: ChordSymbol) -> tuple[int, ...]:
    """Semitones of a chord's tones above its root, in stacked order (a ninth is 14); () for no chord."""
    return tuple(interval_of(degree).semitones for degree in chord_degrees(symbol))

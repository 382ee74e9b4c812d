"""Which part resembles which, kept as long as the parts stay the same objects.

An edit in one part costs the comparisons of that part alone.
"""

from __future__ import annotations

from typing import Final

from core.song.identity_cache import IdentityCache
from core.song.song import Song
from core.teaching.naming import Names, Naming
from core.teaching.resemblance import Resemblance, compared

MOST_PAIRS: Final = 32_768
"""Enough for every pair of a song of 250 parts."""

_pairs: IdentityCache[tuple[Resemblance | None]] = IdentityCache(MOST_PAIRS)
_resemblances: IdentityCache[tuple[Resemblance | None]] = IdentityCache()


def resembled(song: Song, number: int, to: tuple[int, ...], naming: Naming = Naming.LETTERS) -> Resemblance | None:
    """As `resemblance`, kept as long as the parts stay the same objects; an edit compares its own part anew."""
    names = Names.of_part(song, number, naming)
    facts = (number, to, names, song.metres, song.pickup, song.length)
    kept = _resemblances.get(song.parts, facts)
    if kept is None:
        found = [one for other in to if (one := _resembled_pair(song, number, other, names)) is not None]
        kept = _resemblances.put(song.parts, facts, (max(found, key=lambda one: one.strength, default=None),))
    return kept[0]


def _resembled_pair(song: Song, number: int, other: int, names: Names) -> Resemblance | None:
    objects = (song.part(number), song.part(other))
    onsets = (song.part_onsets[number - 1], song.part_onsets[other - 1])
    facts = (number, other, names, *onsets, song.metres, song.pickup, song.length)
    kept = _pairs.get(objects, facts)
    if kept is None:
        kept = _pairs.put(objects, facts, (compared(song, number, other, names),))
    return kept[0]

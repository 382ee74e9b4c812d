"""Passages that come back, so that they are fingered alike."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from core.teaching.fingering_passage import Moment
from core.teaching.fingering_weights import ALIKE, UNLIKE_BEFORE, UNLIKE_FOR_LONG

SHORTEST_REPEAT: Final = 4
"""So many moments make a passage …"""
LONG_REPEAT: Final = 6
"""… and so many one that a learner takes for the same again, whatever surrounds it."""

Wish = tuple[tuple[int, ...], int]
"""A grip that is wished for, and what each other finger costs in thousandths of a point."""
NO_WISH: Final[Wish] = ((), 0)

Look = tuple[tuple[int, ...], int]
"""What two moments share where a passage comes back: the keys, and how much of what comes before them counts."""


def repeats(moments: Sequence[Moment]) -> tuple[tuple[int, int, int], ...]:
    """Passages that have been heard before on the same keys.

    Args:
        moments: the moments of a line.

    Returns:
        (earlier, later, length) in moments, in order of the later one; no two later ones overlap.
    """
    looks: list[Look] = [(moment.midis, moment.share) for moment in moments]
    seen: dict[tuple[Look, ...], int] = {}
    found: list[tuple[int, int, int]] = []
    index = 0
    entered = 0
    while index + SHORTEST_REPEAT <= len(looks):
        # Only passages that have ended are looked up: a passage is no repeat of itself.
        while entered + SHORTEST_REPEAT <= index:
            seen.setdefault(_opening(looks, entered), entered)
            entered += 1
        earlier = seen.get(_opening(looks, index))
        if earlier is None:
            index += 1
            continue
        length = SHORTEST_REPEAT
        while (
            index + length < len(looks)
            and earlier + length < index
            and looks[earlier + length] == looks[index + length]
        ):
            length += 1
        found.append((earlier, index, length))
        index += length
    return tuple(found)


def wishes_of(moments: Sequence[Moment], grips: Sequence[tuple[int, ...]]) -> tuple[Wish, ...]:
    """For every moment the grip of the passage that it repeats, an empty one where it repeats nothing.

    The wish is firm but for the last note of a passage: it is left in another way than before, or the passage would be
    longer, and may have another finger for that.

    Args:
        moments: the moments of a line.
        grips: a fingering of them.

    Returns:
        Nothing at all where every passage that comes back is fingered as it was.
    """
    wishes: list[Wish] = [NO_WISH] * len(moments)
    changed = False
    for earlier, later, length in repeats(moments):
        firmness = UNLIKE_BEFORE if length < LONG_REPEAT else UNLIKE_FOR_LONG
        for offset in range(length):
            unlike = ALIKE if offset == length - 1 else firmness
            wishes[later + offset] = (grips[earlier + offset], unlike)
            changed = changed or grips[earlier + offset] != grips[later + offset]
    return tuple(wishes) if changed else ()


def _opening(looks: Sequence[Look], index: int) -> tuple[Look, ...]:
    """The first moments of a passage; how the first one is come to does not matter."""
    return ((looks[index][0], 0), *looks[index + 1 : index + SHORTEST_REPEAT])

"""How long notes are held and waited for, as it is said: a played line is told in the rhythm that is meant.

A short gap before the next note is how a note is let go and no rest (common practice: a detached note is counted to
the next one); a note that sounds into the next one is told up to it.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from core.song.note import Note
from core.teaching.counting import Counting


class SpokenLength(Struct, frozen=True):
    """A note's rhythm in ticks, as it is said.

    Attributes:
        held: how long the note is held.
        wait: how long to wait before it; 0 where nothing is said of that.
    """

    held: int
    wait: int


def spoken_lengths(notes: Sequence[Note], counting: Counting) -> tuple[SpokenLength, ...]:
    """The rhythm of a line of sounding notes, in order, as it is said.

    Args:
        notes: in order of onset, no grace notes.
        counting: how the metre is counted.
    """
    said: list[SpokenLength] = []
    following: int | None = None
    for index in range(len(notes) - 1, -1, -1):
        note = notes[index]
        if index + 1 < len(notes) and notes[index + 1].onset > note.onset:
            following = notes[index + 1].onset
        held = counting.plain(note.duration)
        if following is not None:
            way = following - note.onset
            gap = way - note.duration
            detached = gap * 2 < counting.ticks or (gap * 2 < way and not counting.is_plain(note.duration))
            if detached:
                held = counting.plain(way)
            elif index + 1 < len(notes) and notes[index + 1].onset == following:
                said[-1] = SpokenLength(said[-1].held, counting.plain(gap))
        said.append(SpokenLength(held, 0))
    said.reverse()
    if notes and notes[0].onset * 2 >= counting.ticks:
        said[0] = SpokenLength(said[0].held, counting.plain(notes[0].onset))
    return tuple(said)

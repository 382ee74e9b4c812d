"""A bar more or less at the end of a part, so that a song can grow while it is written.

Everything behind the bar, changes of key, metre and tempo included, moves with it; the bar is as long as the metre
at the part's end says.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from msgspec.structs import replace

from core.edits.part_contents import the_part
from core.song.errors import EditError
from core.song.key import KeyChange
from core.song.metre import MetreChange, bar_at
from core.song.part import Part
from core.song.song import Song
from core.song.tempo import TempoChange
from core.song.wording import say

Change = TypeVar("Change", KeyChange, MetreChange, TempoChange)


def add_bar(song: Song, number: int) -> Song:
    """Add an empty bar at the end of a part.

    A chord that went on into the next part does so no longer: there it is struck anew.

    Args:
        song: the song before.
        number: part number from 1.

    Raises:
        EditError: where there is no such part.
    """
    part = the_part(song, number)
    end = song.part_onsets[number - 1] + part.duration
    bar = song.metre_at(end - 1).bar_ticks
    return _with_length(song, number, replace(part, duration=part.duration + bar), end, end + bar)


def remove_bar(song: Song, number: int) -> Song:
    """Remove the empty last bar of a part.

    Args:
        song: the song before.
        number: part number from 1.

    Raises:
        EditError: where there is no such part, it has no bar but this one, or something sounds in the bar.
    """
    part = the_part(song, number)
    start = song.part_onsets[number - 1]
    end = start + part.duration
    left = end - song.metre_at(end - 1).bar_ticks
    if number == len(song.parts) and _sounds(song, number, left, end):
        left = bar_at(song.bars, end - 1).onset  # the song may end with less than a whole bar
    if left <= start:
        raise EditError(say("Part {number} has no other bar; join it with its neighbour instead.", number=number))
    if _sounds(song, number, left, end):
        raise EditError(
            say("The last bar of part {number} is not empty; remove or shorten what stands in it first.", number=number)
        )
    return _with_length(song, number, replace(part, duration=left - start), end, left)


def _sounds(song: Song, number: int, start: int, end: int) -> bool:
    """Whether a note of the song or a chord of a part sounds, or an aside stands, in a stretch of that part."""
    onset = song.part_onsets[number - 1]
    part = song.part(number)
    if any(onset + chord.end > start for chord in part.chords) or any(
        onset + aside.onset >= start for aside in part.asides
    ):
        return True
    return any(at < end and at + max(note.duration, 1) > start for at, note in song.placed_notes())


def _with_length(song: Song, number: int, part: Part, end: int, new_end: int) -> Song:
    """The song with a part of another length, and all that lay behind its old end as far behind its new one."""
    following = list(song.parts[number:])
    if following and following[0].chords and following[0].chords[0].continued:
        first, *others = following[0].chords
        following[0] = replace(following[0], chords=(replace(first, continued=False), *others))
    parts = (*song.parts[: number - 1], part, *following)
    length = song.length + new_end - end
    return replace(
        song,
        parts=parts,
        keys=_moved(song.keys, end, new_end, length),
        metres=_moved(song.metres, end, new_end, length),
        tempos=_moved(song.tempos, end, new_end, length),
    )


def _moved(changes: Sequence[Change], end: int, new_end: int, length: int) -> tuple[Change, ...]:
    """Changes from an old end on moved to a new one; of several at one moment the last one counts."""
    found: dict[int, Change] = {}
    for change in changes:
        onset = change.onset + new_end - end if change.onset >= end else min(change.onset, new_end)
        if onset < length:
            found[onset] = replace(change, onset=onset)
    return tuple(found.values())

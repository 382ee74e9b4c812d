"""A part one step easier or harder to play, both hands' embellishment chosen together."""

from __future__ import annotations

from core.arranging.levels import Level, neighbours
from core.edits.part_contents import the_part
from core.edits.set_teaching import set_harmony, set_pattern
from core.song.errors import EditError
from core.song.song import Song
from core.song.wording import say


def make_easier(song: Song, number: int) -> Song:
    """Take the next easier step of a part's ladder.

    Raises:
        EditError: for a part that is not there, or is as easy as it gets.
    """
    the_part(song, number)
    easier, _ = neighbours(song, number)
    if easier is None:
        raise EditError(say("Part {number} is as easy as it gets.", number=number))
    return set_level(song, number, easier)


def make_harder(song: Song, number: int) -> Song:
    """Take the next harder step of a part's ladder.

    Raises:
        EditError: for a part that is not there, or is as full as it gets.
    """
    the_part(song, number)
    _, harder = neighbours(song, number)
    if harder is None:
        raise EditError(say("Part {number} is as full as it gets.", number=number))
    return set_level(song, number, harder)


def set_level(song: Song, number: int, level: Level) -> Song:
    """Play a part as a step of a ladder says.

    Raises:
        EditError: for a part that is not there.
    """
    return set_harmony(set_pattern(song, number, level.pattern), number, level.harmony)

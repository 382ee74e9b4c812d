"""An introduction before a song, and an ending after it, as parts of their own."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from msgspec.structs import replace

from core.arranging.introductions import ending, introduction
from core.song.errors import DomainError, EditError
from core.song.key import KeyChange
from core.song.metre import MetreChange
from core.song.song import Song
from core.song.tempo import TempoChange

Change = TypeVar("Change", KeyChange, MetreChange, TempoChange)


def add_introduction(song: Song, bars: int) -> Song:
    """Put an introduction before the song; all its parts move back by one, and stay the same objects.

    Args:
        song: the song before.
        bars: 2 or 4.

    Raises:
        EditError: for another length, or a song without chords.
    """
    try:
        part = introduction(song, bars)
    except DomainError as error:
        raise EditError(str(error)) from error
    return replace(
        song,
        parts=(part, *song.parts),
        keys=_later(song.keys, part.duration),
        metres=_later(song.metres, part.duration),
        tempos=_later(song.tempos, part.duration),
        pickup=0,
        playing_order=(1, *(number + 1 for number in song.playing_order)),
    )


def add_ending(song: Song, bars: int) -> Song:
    """Put an ending after the song, played once at its end.

    Args:
        song: the song before.
        bars: 2 or 4.

    Raises:
        EditError: for another length, or a song without chords.
    """
    try:
        part = ending(song, bars)
    except DomainError as error:
        raise EditError(str(error)) from error
    return replace(song, parts=(*song.parts, part), playing_order=(*song.playing_order, len(song.parts) + 1))


def _later(changes: Sequence[Change], ticks: int) -> tuple[Change, ...]:
    """Changes moved by what comes before them; the first stays at the song's start."""
    return tuple(replace(change, onset=change.onset + ticks) if change.onset else change for change in changes)

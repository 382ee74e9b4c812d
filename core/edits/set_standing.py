"""What a lesson's owner keeps about it besides the music: its state, who asked for it, its rights."""

from __future__ import annotations

from dataclasses import replace

from core.song.errors import DomainError, EditError
from core.song.song import Song
from core.song.standing import Standing


def set_standing(
    song: Song,
    *,
    state: str | None = None,
    asked_by: str | None = None,
    asked_on: str | None = None,
    rights_cleared: bool | None = None,
    rights: str | None = None,
    composer: str | None = None,
) -> Song:
    """The song with other facts about it; what is None stays as it is.

    Args:
        song: the song before.
        state: ``wanted``, ``drafted``, ``recorded`` or ``published``.
        asked_by: who asked for it.
        asked_on: the day, as ``2026-11-25``.
        rights_cleared: whether it may be sold and published.
        rights: a note of rights.
        composer: who wrote it.

    Raises:
        EditError: no such state, or no such day.
    """
    before = song.standing
    try:
        standing = Standing(
            before.state if state is None else state,
            before.asked_by if asked_by is None else _one_line(asked_by),
            before.asked_on if asked_on is None else _one_line(asked_on),
            before.rights_cleared if rights_cleared is None else rights_cleared,
        )
    except DomainError as error:
        raise EditError(str(error)) from error
    return replace(
        song,
        standing=standing,
        rights=song.rights if rights is None else _one_line(rights),
        composer=song.composer if composer is None else _one_line(composer),
    )


def _one_line(text: str) -> str:
    return " ".join(text.split())

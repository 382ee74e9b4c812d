"""What a lesson's owner keeps about it besides the music: its state, who asked for it, its rights."""

from __future__ import annotations

from msgspec.structs import replace

from core.song.errors import DomainError, EditError
from core.song.song import Song
from core.song.standing import Standing


def set_state(song: Song, state: str) -> Song:
    """Say how far the lesson has come: ``wanted``, ``drafted``, ``recorded`` or ``published``.

    Raises:
        EditError: for any other state.
    """
    before = song.standing
    return _standing(song, state, before.asked_by, before.asked_on, before.rights_cleared)


def set_asked(song: Song, by: str, on: str) -> Song:
    """Say who asked for the song and on which day, as ``2026-11-25``; both may be blank.

    Raises:
        EditError: there is no such day.
    """
    return _standing(song, song.standing.state, _one_line(by), _one_line(on), song.standing.rights_cleared)


def set_rights(song: Song, rights: str, cleared: bool) -> Song:
    """Keep a note of rights, which may be blank, and whether the song may be sold and published."""
    before = song.standing
    after = _standing(song, before.state, before.asked_by, before.asked_on, cleared)
    rights = _one_line(rights)
    return after if rights == song.rights else replace(after, rights=rights)


def _standing(song: Song, state: str, asked_by: str, asked_on: str, cleared: bool) -> Song:
    try:
        standing = Standing(state, asked_by, asked_on, cleared)
    except DomainError as error:
        raise EditError(str(error)) from error
    return song if standing == song.standing else replace(song, standing=standing)


def _one_line(text: str) -> str:
    return " ".join(text.split())

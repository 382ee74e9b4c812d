"""A lesson's own phrases for kinds of segments."""

from __future__ import annotations

from msgspec.structs import replace

from core.song.errors import DomainError, EditError
from core.song.phrase import with_phrase
from core.song.song import Song


def set_phrase(song: Song, kind: str, text: str | None) -> Song:
    """Set what is said in every segment of a kind in this lesson; None or a blank text for what all lessons have.

    Args:
        song: the song before.
        kind: of `core.song.phrase.KINDS_OF_SEGMENTS`.
        text: the words with their fields, such as ``‹title›``.

    Raises:
        EditError: for an unknown kind or field, or a text that is too long.
    """
    try:
        phrases = with_phrase(song.phrases, kind, text)
    except DomainError as error:
        sentence = str(error)
        raise EditError(sentence[:1].upper() + sentence[1:]) from error
    return song if phrases == song.phrases else replace(song, phrases=phrases)

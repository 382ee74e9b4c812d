"""Words of the teacher's own."""

from __future__ import annotations

from msgspec.structs import replace

from core.edits.part_contents import WORD_KINDS, the_part
from core.song.errors import EditError
from core.song.part import OwnWords
from core.song.song import Song
from core.song.wording import say


def set_words(song: Song, number: int, kind: str, text: str | None) -> Song:
    """Set what is said in a segment of a part, or None to go back to the computed words.

    Args:
        song: the song before.
        number: part number from 1.
        kind: ``right_hand``, ``left_hand`` or ``together``.
        text: the words; blank counts as None.

    Raises:
        EditError: for a part or kind of words that is not there.
    """
    part = the_part(song, number)
    if kind not in WORD_KINDS:
        raise EditError(
            say("There are no words of the kind {kind}; choose right hand, left hand or together.", kind=repr(kind))
        )
    words = [own for own in part.teaching.words if own.kind != kind]
    if text is not None and text.strip():
        words.append(OwnWords(kind, text.strip()))
    words.sort(key=lambda own: WORD_KINDS.index(own.kind))
    if tuple(words) == part.teaching.words:
        return song
    return song.with_part(number, replace(part, teaching=replace(part.teaching, words=tuple(words))))

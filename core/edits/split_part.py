"""Splitting a part in two."""

from __future__ import annotations

from msgspec.structs import replace

from core.edits.cuts import sliced
from core.edits.mentioned_parts import review_mentions
from core.edits.part_contents import for_review, the_part, without_words
from core.song.errors import EditError
from core.song.song import Song
from core.song.wording import say


def split_part(song: Song, number: int, tick: int) -> Song:
    """Split a part at a moment of the song.

    Both halves keep the teaching choices; words of the teacher's own stay with the first and are marked.

    Args:
        song: the song before.
        number: part number from 1.
        tick: where, in ticks from the song's start; inside the part.

    Raises:
        EditError: where there is no such part, or the moment is not inside it.
    """
    part = the_part(song, number)
    cut = tick - song.part_onsets[number - 1]
    if not 0 < cut < part.duration:
        raise EditError(
            say(
                "Part {number} can only be split inside; choose a moment after its start and before its end.",
                number=number,
            )
        )
    first = sliced(part, 0, cut, for_review(part.teaching))
    second = sliced(part, cut, part.duration, without_words(part.teaching))
    order: list[int] = []
    for played in song.playing_order:
        order.extend((played, played + 1) if played == number else (played + (played > number),))
    parts = (*song.parts[: number - 1], first, second, *song.parts[number:])
    after = replace(song, parts=parts, playing_order=tuple(order))
    return review_mentions(after, range(number, len(song.parts) + 1))

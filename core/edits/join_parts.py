"""Joining a part with the next one."""

from __future__ import annotations

from msgspec.structs import replace

from core.edits.cuts import merged
from core.edits.mentioned_parts import review_mentions
from core.edits.part_contents import for_review, the_part, with_words_of
from core.song.errors import EditError
from core.song.playing_order import can_join
from core.song.song import Song
from core.song.wording import say


def join_parts(song: Song, number: int) -> Song:
    """Join a part with the next one; the first one's teaching choices stand.

    Raises:
        EditError: where there is no next part, or the song repeats from the cut between them.
    """
    first = the_part(song, number)
    if number >= len(song.parts):
        raise EditError(say("Part {number} is the last one; there is nothing to join it with.", number=number))
    if not can_join(song, number):
        raise EditError(
            say("The song repeats at the cut after part {number}, so the two parts cannot be joined.", number=number)
        )
    second = song.parts[number]
    whole = merged((first, second), for_review(with_words_of(first.teaching, (second.teaching,))))
    order = tuple(played - (played > number) for played in song.playing_order if played != number + 1)
    after = replace(song, parts=(*song.parts[: number - 1], whole, *song.parts[number + 1 :]), playing_order=order)
    return review_mentions(after, range(number, len(song.parts) + 1))

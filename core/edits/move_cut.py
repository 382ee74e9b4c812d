"""Moving the cut between two parts."""

from __future__ import annotations

from msgspec.structs import replace

from core.edits.cuts import merged, sliced
from core.edits.mentioned_parts import review_mentions
from core.edits.part_contents import for_review, the_part
from core.song.errors import EditError
from core.song.part import Part
from core.song.playing_order import can_join
from core.song.song import Song
from core.song.wording import say


def move_cut(song: Song, after: int, tick: int) -> Song:
    """Move the cut between part `after` and the next one; both keep their teaching choices.

    Args:
        song: the song before.
        after: number of the part before the cut.
        tick: where the cut goes, in ticks from the song's start; inside the two parts.

    Raises:
        EditError: where there is no such cut, the song repeats from it, or it would leave a part empty.
    """
    first, second = _the_two(song, after)
    start = song.part_onsets[after - 1]
    cut = tick - start
    if cut == first.duration:
        return song
    if not 0 < cut < first.duration + second.duration:
        raise EditError(
            say(
                "The cut must stay between the start of part {first} and the end of part {second}.",
                first=after,
                second=after + 1,
            )
        )
    whole = merged((first, second), first.teaching)
    before = sliced(whole, 0, cut, for_review(first.teaching))
    behind = sliced(whole, cut, whole.duration, for_review(second.teaching))
    behind = replace(behind, extra=second.extra)
    moved = replace(song, parts=(*song.parts[: after - 1], before, behind, *song.parts[after + 1 :]))
    return review_mentions(moved, (after, after + 1))


def _the_two(song: Song, after: int) -> tuple[Part, Part]:
    first = the_part(song, after)
    if after >= len(song.parts):
        raise EditError(say("Part {number} is the last one; there is no cut after it.", number=after))
    if not can_join(song, after):
        raise EditError(say("The song repeats at the cut after part {number}, so it stays where it is.", number=after))
    return first, song.parts[after]

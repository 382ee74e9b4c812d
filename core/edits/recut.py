"""Cutting the whole song anew."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from core.edits.cuts import merged, sliced
from core.edits.mentioned_parts import review_mentions
from core.edits.part_contents import for_review, with_words_of, without_words
from core.song.errors import EditError
from core.song.part import Part
from core.song.playing_order import order_after_recut, passages
from core.song.song import Song
from core.song.wording import say


def recut(song: Song, onsets: Sequence[int]) -> Song:
    """Cut a song into parts that begin at given moments.

    A part whose borders do not change stays the same object. A new part takes the teaching choices of the part
    it begins in; that part's own words stay with the first new part that begins in it, marked for review, and those
    of a part that begins inside a new one go into it.
    Cuts that the song's repeats hold are kept whether they are named or not.

    Args:
        song: the song before.
        onsets: where parts begin, in ticks from the song's start; 0 may be left out.

    Raises:
        EditError: for a moment outside the song.
    """
    wanted = {0, *onsets}
    if min(wanted) < 0 or max(wanted) >= song.length:
        raise EditError(say("A part must begin inside the song; one of the cuts lies outside it."))
    starts = song.part_onsets
    parts: list[Part] = []
    counts: list[int] = []
    for run in passages(song):
        old = [song.parts[number - 1] for number in run]
        begin = starts[run[0] - 1]
        whole = merged(old, old[0].teaching)
        inside = sorted({0, *(tick - begin for tick in wanted if begin < tick < begin + whole.duration)})
        counts.append(len(inside))
        edges = {starts[number - 1] - begin: number for number in run}
        spoken_for: set[int] = set()
        for start, end in zip(inside, [*inside[1:], whole.duration], strict=True):
            owner = edges[max(edge for edge in edges if edge <= start)]
            part = song.parts[owner - 1]
            if edges.get(start) == owner and end - start == part.duration:
                parts.append(part)
            else:
                fresh = owner not in spoken_for
                swallowed = [number for edge, number in edges.items() if start < edge < end]
                teaching = part.teaching if fresh else without_words(part.teaching)
                teaching = with_words_of(teaching, (song.parts[number - 1].teaching for number in swallowed))
                teaching = for_review(teaching)
                spoken_for.update(swallowed)
                parts.append(sliced(whole, start, end, teaching))
            spoken_for.add(owner)
    if tuple(parts) == song.parts:
        return song
    after = replace(song, parts=tuple(parts), playing_order=order_after_recut(song, tuple(counts)))
    pairs = zip(song.parts, parts, strict=False)
    first = next((number for number, (old, new) in enumerate(pairs, 1) if old is not new), 1)
    return review_mentions(after, range(first, len(song.parts) + 1))

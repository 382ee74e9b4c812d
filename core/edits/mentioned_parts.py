"""Own words that speak of other parts ('as in part 1'), marked for review when one of those changes.

Mentions are looked for in English: words written in another language are not marked for them.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from typing import Final

from msgspec.structs import replace

from core.song.song import Song

_MENTION: Final = re.compile(r"\bparts? (\d{1,4}(?:(?:, | and | to |–)\d{1,4})*)", re.IGNORECASE)
_NUMBERS: Final = re.compile(r"(\d+)(?:(?: to |–)(\d+))?")


def review_mentions(song: Song, changed: Collection[int]) -> Song:
    """The song with own words marked for review that speak of parts which have changed.

    Args:
        song: the song after the change.
        changed: numbers of parts that are not what the words meant by them.
    """
    for number, part in enumerate(song.parts, 1):
        if set(changed) == {number}:
            continue  # its own words were marked by their kind when it changed
        words = tuple(
            replace(own, review=True)
            if any(low <= one <= high for low, high in _spans(own.text) for one in changed)
            else own
            for own in part.teaching.words
        )
        if words != part.teaching.words:
            song = song.with_part(number, replace(part, teaching=replace(part.teaching, words=words)))
    return song


def _spans(text: str) -> Iterator[tuple[int, int]]:
    """The parts that a text speaks of, from the first to the last of each span."""
    for mention in _MENTION.finditer(text):
        for first, last in _NUMBERS.findall(mention[1]):
            yield int(first), int(last or first)

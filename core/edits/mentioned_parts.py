"""Own words that speak of other parts ('as in part 1'), marked for review when one of those changes.

Mentions are looked for in English and in the language that the program speaks.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from typing import Final

from msgspec.structs import replace

from core.song.song import Song
from core.song.wording import say_in

_MENTION: Final = r"\b(?:parts?|{part}|{parts}) (\d{{1,4}}(?:(?:, | (?:and|to|{both}|{to}) |–)\d{{1,4}})*)"
_NUMBERS: Final = r"(\d+)(?:(?: (?:to|{to}) |–)(\d+))?"


def review_mentions(song: Song, changed: Collection[int]) -> Song:
    """The song with own words marked for review that speak of parts which have changed.

    Args:
        song: the song after the change.
        changed: numbers of parts that are not what the words meant by them.
    """
    if not any(part.teaching.words for part in song.parts):
        return song
    mention, numbers = _read(_MENTION), _read(_NUMBERS)
    for number, part in enumerate(song.parts, 1):
        if set(changed) == {number}:
            continue  # its own words were marked by their kind when it changed
        words = tuple(
            replace(own, review=True)
            if any(low <= one <= high for low, high in _spans(own.text, mention, numbers) for one in changed)
            else own
            for own in part.teaching.words
        )
        if words != part.teaching.words:
            song = song.with_part(number, replace(part, teaching=replace(part.teaching, words=words)))
    return song


def _spans(text: str, mention: re.Pattern[str], numbers: re.Pattern[str]) -> Iterator[tuple[int, int]]:
    """The parts that a text speaks of, from the first to the last of each span."""
    for found in mention.finditer(text):
        for first, last in numbers.findall(found[1]):
            yield int(first), int(last or first)


def _read(pattern: str) -> re.Pattern[str]:
    """A pattern with the words that name parts and join their numbers in the language chosen."""
    words = {
        "part": say_in("before the number of a part", "part"),
        "parts": say_in("before the numbers of several parts", "parts"),
        "both": say_in("between two numbers of parts", "and"),
        "to": say_in("from one number to another", "to"),
    }
    return re.compile(pattern.format_map({name: re.escape(word) for name, word in words.items()}), re.IGNORECASE)

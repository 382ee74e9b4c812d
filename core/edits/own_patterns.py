"""Left-hand patterns of the teacher's own, kept with the song."""

from __future__ import annotations

from msgspec.structs import replace

from core.arranging.left_hand import PATTERNS
from core.edits.part_contents import LEFT_HAND, TOGETHER, for_review
from core.song.errors import EditError
from core.song.pattern_grid import OwnPattern
from core.song.song import Song
from core.song.wording import say

PLAIN = "block"


def keep_pattern(song: Song, pattern: OwnPattern) -> Song:
    """Keep a pattern under its name; one of the same name is replaced.

    Raises:
        EditError: for a name that a pattern of the trade has.
    """
    if pattern.name in (known.name for known in PATTERNS):
        raise EditError(say("“{name}” is a pattern already; give yours another name.", name=pattern.name))
    if pattern in song.patterns:
        return song
    if all(own.name != pattern.name for own in song.patterns):
        return replace(song, patterns=(*song.patterns, pattern))
    patterns = tuple(pattern if own.name == pattern.name else own for own in song.patterns)
    return _reviewed(replace(song, patterns=patterns), pattern.name, pattern.name)


def remove_pattern(song: Song, name: str) -> Song:
    """Remove a pattern of the teacher's own; parts that played it hold their chords again.

    Raises:
        EditError: where there is none of that name.
    """
    if all(own.name != name for own in song.patterns):
        raise EditError(say("There is no pattern of your own called “{name}”.", name=name))
    after = _reviewed(song, name, PLAIN)
    return replace(after, patterns=tuple(own for own in song.patterns if own.name != name))


def _reviewed(song: Song, name: str, instead: str) -> Song:
    """The song with a pattern exchanged in its parts, whose own words are marked for review."""
    for number, part in enumerate(song.parts, 1):
        if part.teaching.pattern == name:
            teaching = for_review(replace(part.teaching, pattern=instead), (LEFT_HAND, TOGETHER))
            if teaching != part.teaching:
                song = song.with_part(number, replace(part, teaching=teaching))
    return song

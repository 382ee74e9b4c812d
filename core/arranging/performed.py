"""A song as it is performed: what was chosen for its parts written out as notes.

The lesson keeps the plain notes and the names of what was chosen; this is made from them for files that know notes
alone. A song for which nothing was chosen is the same object.
"""

from __future__ import annotations

from collections.abc import Collection

from msgspec.structs import replace

from core.arranging.embellished import embellished, goes_beyond_melody
from core.arranging.left_hand import PLAIN
from core.arranging.ornaments import ALL
from core.song.note import Note
from core.song.part import Part, in_order
from core.song.song import Song
from core.teaching.fingering import FingeredHand


def performed(song: Song, ornaments: Collection[str] = ALL) -> Song:
    """The song with the notes that both hands play in it, fingered where they are not the written ones.

    Where one part has an embellishment the left hand's chords are written out in all of them. Ornaments that are not
    among `ornaments` stay names in their notes.
    """
    if all(is_plain(part) for part in song.parts):
        return song
    return replace(song, parts=tuple(_performed(song, number, ornaments) for number in range(1, len(song.parts) + 1)))


def is_plain(part: Part) -> bool:
    """Whether nothing was chosen for a part beyond its plain version."""
    return part.teaching.pattern == PLAIN and not goes_beyond_melody(part)


def _performed(song: Song, number: int, ornaments: Collection[str]) -> Part:
    part = song.part(number)
    found = embellished(song, number, ornaments=ornaments)
    notes = (*_fingered(found.right, found.right_fingers, part), *_fingered(found.left, found.left_fingers, part))
    return replace(part, notes=in_order(notes))


def _fingered(notes: tuple[Note, ...], fingers: FingeredHand, part: Part) -> tuple[Note, ...]:
    """Notes with their fingers, those that are written in the part as they are."""
    written = set(part.notes)
    return tuple(
        note if note in written else replace(note, finger=fingered.finger)
        for note, fingered in zip(notes, fingers.fingers, strict=True)
    )

"""How the left hand takes its chords: in root position, or in the inversion nearest to the chord before."""

from __future__ import annotations

from msgspec.structs import replace

from core.edits.part_contents import LEFT_HAND, TOGETHER, for_review, the_chord, the_part, with_chords
from core.song.chord import VOICING_STYLES
from core.song.errors import EditError
from core.song.song import Song
from core.song.wording import say


def set_voicing(song: Song, number: int | None, style: str) -> Song:
    """Take the chords of a part, or of the whole song, in root position or as nearest inversions.

    Chords with a choice of their own keep it.

    Args:
        song: the song before.
        number: the part's number, or None for every part.
        style: ``root`` or ``nearest``.

    Raises:
        EditError: for a part that is not there, or another style.
    """
    _check(style)
    if number is None:
        for each in range(1, len(song.parts) + 1):
            song = set_voicing(song, each, style)
        return song
    part = the_part(song, number)
    if part.teaching.voicing == style:
        return song
    teaching = for_review(replace(part.teaching, voicing=style), (LEFT_HAND, TOGETHER))
    return song.with_part(number, replace(part, teaching=teaching))


def set_chord_voicing(song: Song, number: int, index: int, style: str | None) -> Song:
    """Take one chord in root position or as the nearest inversion; None for what its part does.

    Raises:
        EditError: for a chord that is not there, or another style.
    """
    chord = the_chord(song, number, index)
    if style is not None:
        _check(style)
    if chord.voicing == style:
        return song
    chords = list(the_part(song, number).chords)
    chords[index] = replace(chord, voicing=style)
    return with_chords(song, number, chords)


def _check(style: str) -> None:
    if style not in VOICING_STYLES:
        raise EditError(say("Chords cannot be taken as “{style}”; choose root or nearest.", style=style))

"""Asides: remarks at a place of a part that may be made or left out."""

from __future__ import annotations

from msgspec.structs import replace

from core.edits.part_contents import RIGHT_HAND, WORD_KINDS, the_part
from core.song.errors import EditError
from core.song.part import Aside, Part
from core.song.song import Song
from core.song.wording import say

LONGEST_ASIDE = 1000
"""Letters of one aside; more than a minute and a half of talk is a segment of its own."""


def add_aside(song: Song, number: int, onset: int, text: str, kind: str = RIGHT_HAND) -> Song:
    """Add an aside at a moment of a part, behind those that stand there already.

    Args:
        song: the song before.
        number: part number from 1.
        onset: ticks from the part's start.
        text: what may be said.
        kind: ``right_hand``, ``left_hand`` or ``together``: the segment it belongs to.

    Raises:
        EditError: for a part, moment or kind that is not there, and for an aside that says nothing or too much.
    """
    part = the_part(song, number)
    if kind not in WORD_KINDS:
        raise EditError(
            say("There are no words of the kind {kind}; choose right hand, left hand or together.", kind=repr(kind))
        )
    if not 0 <= onset < part.duration:
        raise EditError(say("Part {number} has no such moment; select a note or a chord in it first.", number=number))
    return _with_asides(song, number, part, [*part.asides, Aside(onset, _checked(text), kind)])


def set_aside(song: Song, number: int, index: int, text: str | None) -> Song:
    """Say something else in an aside, or remove it.

    Args:
        song: the song before.
        number: part number from 1.
        index: place among the part's asides, from 0.
        text: what may be said; None or blank removes the aside.

    Raises:
        EditError: where there is no such aside, and for one that says too much.
    """
    part, aside = _the_aside(song, number, index)
    others = [other for place, other in enumerate(part.asides) if place != index]
    if text is None or not text.strip():
        return _with_asides(song, number, part, others)
    said = replace(aside, text=_checked(text))
    return song if said == aside else _with_asides(song, number, part, [*others[:index], said, *others[index:]])


def move_aside(song: Song, number: int, index: int, onset: int) -> Song:
    """Let an aside stand at another moment of its part.

    Raises:
        EditError: where there is no such aside, or no such moment.
    """
    part, aside = _the_aside(song, number, index)
    if not 0 <= onset < part.duration:
        raise EditError(say("An aside of part {number} must stand inside the part.", number=number))
    others = [other for place, other in enumerate(part.asides) if place != index]
    return song if onset == aside.onset else _with_asides(song, number, part, [*others, replace(aside, onset=onset)])


def _the_aside(song: Song, number: int, index: int) -> tuple[Part, Aside]:
    part = the_part(song, number)
    if not 0 <= index < len(part.asides):
        raise EditError(say("Part {number} has no such aside any more.", number=number))
    return part, part.asides[index]


def _checked(text: str) -> str:
    said = " ".join(text.split())
    if not said:
        raise EditError(say("An aside must say something."))
    if len(said) > LONGEST_ASIDE:
        raise EditError(
            say(
                "An aside has room for {most} letters, and this one has {count}; shorten it.",
                most=LONGEST_ASIDE,
                count=len(said),
            )
        )
    return said


def _with_asides(song: Song, number: int, part: Part, asides: list[Aside]) -> Song:
    return song.with_part(number, replace(part, asides=tuple(sorted(asides, key=lambda aside: aside.onset))))

"""Asides in a running order: what may be said in a segment, or left out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from core.session.lesson_settings import LessonSettings
from core.session.moments import moment_words
from core.session.timing import spoken_seconds
from core.song.part import Aside, Part
from core.song.song import Song
from core.song.wording import say


class PlacedAside(Struct, frozen=True):
    """An aside of a segment.

    Attributes:
        onset: ticks from the song's start.
        text: what may be said.
    """

    onset: int
    text: str


def asides_in(part: Part, start: int, kind: str, kinds: Sequence[str]) -> tuple[PlacedAside, ...]:
    """The asides that belong to a segment of a part.

    An aside whose own segment is not in the lesson belongs to the part's first one.

    Args:
        part: the part.
        start: of the part, in ticks from the song's start.
        kind: of the segment.
        kinds: of all segments of the part that are in the lesson, in order.
    """

    def belongs(aside: Aside) -> bool:
        return aside.kind == kind or (aside.kind not in kinds and kind == kinds[0])

    return tuple(PlacedAside(start + aside.onset, aside.text) for aside in part.asides if belongs(aside))


def aside_line(song: Song, aside: PlacedAside) -> str:
    """An aside as it stands in a plan: ``If you like, at bar 3, beat 2: the thumb goes under here.``."""
    return say("If you like, at {moment}: {text}", moment=moment_words(song, aside.onset), text=aside.text)


def asides_seconds(asides: Iterable[PlacedAside], settings: LessonSettings) -> float:
    """How much longer a lesson takes in which all these asides are made."""
    return spoken_seconds((aside.text for aside in asides), settings.speaking_rate)

"""What is played at one go."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from core.drawing.shapes import Subject
from core.performance.selection import Selection, one_part, parts_in_a_row, run_through, stretch, whole_song
from core.song.song import Song


class Piece(Struct, frozen=True):
    """What is played: a part, the parts up to one, the whole song, parts in a row, a stretch, or a segment.

    Attributes:
        kind: ``part``, ``through``, ``song``, ``row``, ``stretch``, or ``segment`` as it is recorded.
        number: the part's or the segment's number; else 0.
        words: the row, as `core.performance.selection.parts_in_a_row` reads it.
        start: of a stretch, ticks from the song's start.
        end: of a stretch, likewise.
    """

    kind: Literal["part", "through", "song", "row", "stretch", "segment"]
    number: int = 0
    words: str = ""
    start: int = 0
    end: int = 0

    def selection(self, song: Song) -> Selection:
        """The parts to be played; raises DomainError where a part does not exist."""
        if self.kind == "row":
            return parts_in_a_row(song, self.words)
        if self.kind == "stretch":
            return stretch(song, self.start, self.end)
        if self.kind == "part":
            return one_part(song, self.number)
        return run_through(song, self.number) if self.kind == "through" else whole_song(song)

    @property
    def subject(self) -> Subject | None:
        """The row's button that stands for it."""
        return Subject(f"play-{self.kind}", self.number) if self.kind in ("part", "through") else None

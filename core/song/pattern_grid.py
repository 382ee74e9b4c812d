"""Left-hand patterns drawn on a small grid: chord tones on the one side, the cells of some beats on the other.

A grid is written as one word a cell: tones joined by ``+``, ``-`` where what sounds is held on, ``.`` where the
hand rests: ``R 5 8 5`` is root, fifth, octave, fifth.

====== ===================================================
tone   what it is
====== ===================================================
``R``  the bass: the root, or the written bass
``5``  the chord's fifth above the bass
``8``  the bass an octave higher
``10`` the chord's third above that
``5_`` the chord's fifth below the bass
``L``  the lowest tone of the chord as the hand takes it
``M``  its middle tones, one after another
``H``  its highest tone
``U``  all of it but the lowest
``C``  all of it
====== ===================================================
"""

from __future__ import annotations

from itertools import pairwise
from typing import Final

from msgspec import Struct

from core.song.errors import DomainError
from core.song.wording import say, say_counted

TONES: Final = ("R", "5", "8", "10", "5_", "L", "M", "H", "U", "C")
HELD: Final = "-"
REST: Final = "."
LONGEST_BEATS: Final = 12
FINEST_DIVISION: Final = 6


class Stroke(Struct, frozen=True):
    """Tones struck together.

    Attributes:
        cell: where, in cells from the grid's start.
        cells: for how long.
        tones: which tones of the chord, of `TONES`, each once.
    """

    cell: int
    cells: int
    tones: tuple[str, ...]


class Grid(Struct, frozen=True):
    """What the left hand strikes in some beats.

    Attributes:
        beats: how many felt beats the grid covers, 1 … 12.
        division: cells in a beat, 1 … 6.
        strokes: in order, not overlapping, inside the beats.
        compound: whether the beats are dotted ones, as in 6/8.
    """

    beats: int
    division: int
    strokes: tuple[Stroke, ...]
    compound: bool = False

    def __post_init__(self) -> None:
        if not 1 <= self.beats <= LONGEST_BEATS:
            raise DomainError(
                say("the beats of a pattern"), self.beats, say("a whole number from 1 to {most}", most=LONGEST_BEATS)
            )
        if not 1 <= self.division <= FINEST_DIVISION:
            raise DomainError(
                say("the cells in a beat of a pattern"),
                self.division,
                say("from {least} to {most}", least=1, most=FINEST_DIVISION),
            )
        if not self.strokes:
            raise DomainError(say("the strokes of a pattern"), 0, say("at least one"))
        ends = [stroke.cell + stroke.cells for stroke in self.strokes]
        onsets = [stroke.cell for stroke in self.strokes]
        if min(onsets) < 0 or max(ends) > self.cells or any(stroke.cells < 1 for stroke in self.strokes):
            raise DomainError(
                say("a stroke of a pattern"),
                onsets,
                say_counted("inside its {count} cells", "inside its {count} cells", self.cells),
            )
        if any(end > onset for end, onset in zip(ends, onsets[1:], strict=False)):
            raise DomainError(say("the strokes of a pattern"), onsets, say("in order, none into the next"))
        for stroke in self.strokes:
            if not stroke.tones or len(set(stroke.tones)) != len(stroke.tones) or not set(stroke.tones) <= set(TONES):
                raise DomainError(
                    say("the tones of a pattern"), "+".join(stroke.tones), say("of {choices}", choices=", ".join(TONES))
                )

    @property
    def cells(self) -> int:
        """Cells in all."""
        return self.beats * self.division

    @classmethod
    def parse(cls, text: str, division: int = 1, *, compound: bool = False) -> Grid:
        """Read a grid from one word a cell; raises DomainError where it makes no sense."""
        words = text.split()
        if not words or division < 1 or len(words) % division:
            raise DomainError(
                say("the cells of a pattern"),
                text,
                say_counted("whole beats of {count} cells", "whole beats of {count} cells", division),
            )
        starts = [place for place, word in enumerate(words) if word != HELD]
        if not starts or starts[0]:
            raise DomainError(say("the first cell of a pattern"), words[0], say("tones or a rest"))
        strokes = tuple(
            Stroke(place, end - place, tuple(words[place].split("+")))
            for place, end in pairwise([*starts, len(words)])
            if words[place] != REST
        )
        return cls(len(words) // division, division, strokes, compound)

    @property
    def text(self) -> str:
        """The grid as one word a cell."""
        words = [REST] * self.cells
        for stroke in self.strokes:
            words[stroke.cell : stroke.cell + stroke.cells] = ["+".join(stroke.tones), *[HELD] * (stroke.cells - 1)]
        return " ".join(words)


class OwnPattern(Struct, frozen=True):
    """A pattern of the teacher's own.

    Attributes:
        name: what it is called; not empty.
        grids: for one or more lengths, at least one.
    """

    name: str
    grids: tuple[Grid, ...]

    def __post_init__(self) -> None:
        if not self.name.strip() or self.name != " ".join(self.name.split()):
            raise DomainError(say("the name of a pattern"), self.name, say("words without blanks around them"))
        if not self.grids:
            raise DomainError(say("the grids of a pattern"), 0, say("at least one"))

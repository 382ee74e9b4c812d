"""What a prepared ABC tune consists of: voices in plain ABC, and the marks that numbers in their text stand for."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct, field

from core.formats.abc_fields import AbcKey
from core.song.chord import ChordSymbol
from core.song.metre import Metre


class BarLine(Struct, frozen=True):
    """A bar line that is more than plain.

    Attributes:
        repeat_times: 0 where no repeat ends at it, else how often what it ends is played in all.
        repeat_start: whether a repeat begins at it.
        endings: the passes of the ending that begins at it, or empty.
    """

    repeat_times: int = 0
    repeat_start: bool = False
    endings: tuple[int, ...] = ()


class Jump(Struct, frozen=True):
    """A sign that rules what is played next: ``segno``, ``coda``, ``fine``, ``capo``, ``dal segno`` or ``to coda``."""

    kind: str


class MetreField(Struct, frozen=True):
    """A metre from a moment on; None where it is free."""

    metre: Metre | None


Mark = BarLine | Jump | MetreField | AbcKey | ChordSymbol | float
"""What a number in the rewritten text stands for; a float is a tempo in quarter notes a minute."""


class Voice(Struct):
    """One voice of a tune: its name, its text for music21, and what the numbers in it stand for."""

    name: str
    metre: Metre | None
    unit: Fraction
    pieces: list[str] = field(default_factory=list)
    marks: list[Mark] = field(default_factory=list)
    accidentals: dict[str, str] = field(default_factory=dict)
    tied: str = ""

    @property
    def text(self) -> str:
        """The voice as music21 reads it."""
        return "".join(self.pieces)

    def mark(self, mark: Mark) -> int:
        """Keep a mark; its number."""
        self.marks.append(mark)
        return len(self.marks) - 1


class PreparedTune(Struct):
    """A tune: its title and composer, its voices with notes in them, and what was left out."""

    title: str = ""
    composer: str = ""
    voices: list[Voice] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)

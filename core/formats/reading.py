"""What reading a file gives, and what readers and writers have in common."""

from __future__ import annotations

from typing import Protocol

from msgspec import Struct

from core.song.song import Song


class Reading(Struct, frozen=True):
    """A song read from a file.

    Attributes:
        song: the song.
        warnings: what of the file was not taken over, or was guessed; one sentence each.
        has_cuts: whether the file itself says where the song's parts begin, so that none are proposed.
        slurs: ticks of the first and last note under each slur of the file, from which phrases are told.
    """

    song: Song
    warnings: tuple[str, ...] = ()
    has_cuts: bool = False
    slurs: tuple[tuple[int, int], ...] = ()


class Reader(Protocol):
    """Reads one format."""

    @property
    def endings(self) -> tuple[str, ...]:
        """Endings of file names, small letters, with the dot."""

    def read(self, name: str, data: bytes, tune: int | None = None) -> Reading:
        """The song in a file; `tune` picks one of several by position from 1. Raises FormatError."""

    def titles(self, name: str, data: bytes) -> tuple[str, ...]:
        """The titles of the tunes in a file, in order; one where a file holds one song. Raises FormatError."""


class Writer(Protocol):
    """Writes one format."""

    @property
    def endings(self) -> tuple[str, ...]:
        """Endings of file names, small letters, with the dot."""

    def write(self, name: str, song: Song) -> bytes:
        """The file of a song; raises FormatError where the format cannot hold it."""

"""The effort of a whole song in each of the twelve keys, with both hands placed anew in each."""

from __future__ import annotations

from dataclasses import dataclass

from core.edits.transpose import transpose
from core.session.analysis import song_effort
from core.song.errors import EditError
from core.song.key import Key
from core.song.song import Song


@dataclass(frozen=True, slots=True)
class KeyEffort:
    """A key and what the song costs in it.

    Attributes:
        key: the key.
        effort: 0 … 100 of the whole song.
        is_own: whether it is the key the song is in.
    """

    key: Key
    effort: float
    is_own: bool


def twelve_keys(song: Song) -> tuple[KeyEffort, ...]:
    """The song's effort on every tonic from C up to B, in its mode; a key that leaves the keyboard is left out."""
    found: list[KeyEffort] = []
    for pitch_class in range(12):
        try:
            moved = transpose(song, pitch_class)
        except EditError:
            continue
        found.append(KeyEffort(moved.key, song_effort(moved).total, moved is song))
    return tuple(found)

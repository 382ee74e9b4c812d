"""Notes of one hand laid out in voices, in each of which one note or chord follows another."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from core.song.note import Hand, Note
from core.song.song import Song


class Struck(Struct, frozen=True):
    """Notes that begin and end together.

    Attributes:
        onset: ticks from the song's start.
        end: ticks from the song's start; the onset itself for a grace note.
        notes: from low to high; a grace note stands alone.
    """

    onset: int
    end: int
    notes: tuple[Note, ...]


def voices_of(song: Song, hands: Iterable[Hand]) -> list[list[Struck]]:
    """The notes of some hands in as few voices as hold them; at least one voice, which may be empty."""
    wanted = frozenset(hands)
    together: dict[tuple[int, int, int, int], list[Note]] = {}
    for count, (onset, note) in enumerate(song.placed_notes()):
        if note.hand in wanted:
            # Grace notes come one after the other, before what they lead to.
            order = count if note.is_grace else 1 << 40
            # Two notes on one key are no chord; the second goes to a voice of its own.
            again = 0
            while any(
                other.pitch.midi == note.pitch.midi for other in together.get((onset, order, -note.duration, again), ())
            ):
                again += 1
            together.setdefault((onset, order, -note.duration, again), []).append(note)
    voices: list[list[Struck]] = [[]]
    for (onset, _, duration, _), notes in sorted(together.items(), key=lambda entry: entry[0]):
        struck = Struck(onset, onset - duration, tuple(sorted(notes, key=lambda note: note.pitch.midi)))
        voice = next((voice for voice in voices if not voice or voice[-1].end <= onset), None)
        if voice is None:
            voice = []
            voices.append(voice)
        voice.append(struck)
    return voices

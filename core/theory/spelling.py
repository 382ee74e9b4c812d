"""Names for bare MIDI numbers."""

from __future__ import annotations

from collections.abc import Sequence

from core.song.key import Key, Mode
from core.song.pitch import NoteName, Pitch
from core.theory.intervals import simplest_name


def spell(midis: Sequence[int], key: Key) -> tuple[Pitch, ...]:
    """Pitches for MIDI numbers in the order in which they sound, named to suit a key.

    Each takes the name that lies in the chromatic scale of the key: in major from the lowered second degree (or
    sixth) to the raised fourth, in minor to the raised seventh.
    """
    names = [name_in_key(midi, key) for midi in midis]
    return tuple(Pitch.named(name, midi) for name, midi in zip(names, midis, strict=True))


def name_in_key(pitch_class: int, key: Key | None) -> NoteName:
    """The name of a pitch class in a key's chromatic scale; the simplest name where there is no key."""
    if key is None:
        return simplest_name(pitch_class)
    lowest = key.fifths - 4 if key.mode is not Mode.MINOR else key.fifths - 2
    return NoteName.at_fifths(lowest + (7 * pitch_class - lowest) % 12)

"""A stroke made to fit the hand and the room below the melody, with what was changed said."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from core.arranging.placed_tones import LOWEST_KEY, OCTAVE
from core.song.pitch import Pitch
from core.song.wording import to_say
from core.theory.voicing import thick_intervals

ROLLED, INVERTED, DROPPED, LOWERED, LEFT_OUT = "rolled", "inverted", "dropped", "lowered", "left_out"
THICK: Final = "thick"
LARGEST_ROLL: Final = 5
"""Semitones beyond its reach that a hand still rolls."""

REMARKS: Final = {
    ROLLED: to_say("the notes lie further apart than your hand, so they are rolled, the lowest first"),
    INVERTED: to_say("the upper note lies beyond your hand, so it is taken an octave lower"),
    DROPPED: to_say("the octave lies beyond your hand, so its lower note is played alone"),
    LOWERED: to_say("the pattern would run into the melody, so it is taken an octave lower"),
    THICK: to_say("two notes so close together sound thick so low, so they are taken further apart or alone"),
    LEFT_OUT: to_say("the melody leaves no room for one of the notes, so it is left out"),
}
"""Clauses to be said behind the bar or bars that they are about."""


class Fitted(Struct, frozen=True):
    """Pitches struck together, low to high; those after `first` follow it where the stroke is rolled."""

    pitches: tuple[Pitch, ...]
    first: tuple[Pitch, ...] = ()
    changes: tuple[str, ...] = ()


def fit(pitches: Sequence[Pitch], reach: int, highest: int | None, voicing: Sequence[Pitch] = ()) -> Fitted:
    """Make a stroke fit.

    Args:
        pitches: as the pattern has them.
        reach: semitones that the left hand reaches.
        highest: highest MIDI number allowed, such as the key below the melody; None for any.
        voicing: the chord as the hand takes it, which is left as thick as it is.
    """
    changes: list[str] = []
    under = _under(pitches, highest, changes)
    if not set(under) <= set(voicing):
        under = _clear(under, reach, highest, changes)
    if not under or under[-1].midi - under[0].midi <= reach:
        return Fitted(under, (), tuple(changes))
    bass, upper = under[0], under[1:]
    if len(upper) == 1 and (upper[0].midi - bass.midi) % OCTAVE == 0:
        return Fitted((bass,), (), (*changes, DROPPED))
    if upper[-1].midi - bass.midi <= reach + LARGEST_ROLL and upper[-1].midi - upper[0].midi <= reach:
        return Fitted(upper, (bass,), (*changes, ROLLED))
    lowered: dict[int, Pitch] = {bass.midi: bass}
    for pitch in upper:
        while pitch.midi - bass.midi > reach and pitch.midi - OCTAVE > bass.midi:
            pitch = pitch.in_octave(pitch.octave - 1)
        if pitch.midi - bass.midi <= reach:
            lowered[pitch.midi] = pitch
    return Fitted(tuple(lowered[midi] for midi in sorted(lowered)), (), (*changes, INVERTED))


def _clear(pitches: Sequence[Pitch], reach: int, highest: int | None, changes: list[str]) -> tuple[Pitch, ...]:
    """Pitches without intervals too low to be clear: an upper note goes up an octave where it can, else away."""
    kept: list[Pitch] = []
    raised: list[Pitch] = []
    for pitch in pitches:
        if kept and thick_intervals((kept[-1], pitch)):
            changes.append(THICK)
            higher = pitch.in_octave(pitch.octave + 1)
            if higher.midi - pitches[0].midi <= reach and (highest is None or higher.midi <= highest):
                raised.append(higher)
        else:
            kept.append(pitch)
    keys = {pitch.midi: pitch for pitch in (*raised, *kept)}
    return tuple(keys[midi] for midi in sorted(keys))


def _under(pitches: Sequence[Pitch], highest: int | None, changes: list[str]) -> tuple[Pitch, ...]:
    """Pitches brought under the melody by octaves, each key once."""
    kept: dict[int, Pitch] = {}
    for pitch in pitches:
        low = pitch
        while highest is not None and low.midi > highest and low.midi - OCTAVE >= LOWEST_KEY:
            low = low.in_octave(low.octave - 1)
        if highest is not None and low.midi > highest:
            changes.append(LEFT_OUT)
            continue
        if low is not pitch:
            changes.append(LOWERED)
        kept[low.midi] = low
    return tuple(kept[midi] for midi in sorted(kept))

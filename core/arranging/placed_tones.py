"""The tones of a pattern found on the keyboard, inside one hand, under the melody.

What a hand does not reach at once is taken smaller: the octave without its upper note, a wide stroke with its upper
notes an octave lower (inverted), or one note after another (rolled). What lies over the melody is taken an octave
lower or left out. Each such change is told.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from core.song.chord import Chord, ChordSymbol
from core.song.pitch import NoteName, Pitch
from core.teaching.left_hand_voicings import Voicing
from core.theory.chord_tones import chord_degrees, chord_tones, interval_of

LOWEST_KEY: Final = 28
"""MIDI number of the lowest key that a pattern uses (E1), the lowest string of a bass (common practice)."""
OCTAVE: Final = 12
LOW_BASS: Final = (33, 44)
"""A1 to G♯2: a bass that stands alone or is doubled at the octave."""
HAND_BASS: Final = (37, 52)
"""C♯2 to E3: a bass with a fifth or more above it in one position; lower fifths are not clear (C♯2–G♯2, a common
arranging table of low interval limits)."""
OUTSIDE: Final = 10.0
OVER_MELODY: Final = 8.0
OFF_MIDDLE: Final = 0.25
"""What a semitone outside the range, over the melody, or off the range's middle costs beside one of movement."""
ABOVE_BASS: Final = {"10": 16, "8": 12, "5": 8}
"""Semitones that a tone of a pattern lies above its bass at most."""
WIDE_TONES: Final = frozenset({"5", "8", "10"})
CHORD_TONES: Final = frozenset({"L", "M", "H", "U", "C"})


class ChordInPlace(Struct, frozen=True):
    """A chord with what a pattern needs to know of it.

    Attributes:
        chord: the chord of the part.
        voicing: as the hand takes it, low to high.
        bass: the pattern's bass for it.
        highest: highest MIDI number below the melody while it sounds, or None.
    """

    chord: Chord
    voicing: Voicing
    bass: Pitch
    highest: int | None


def bass_range(tones: frozenset[str]) -> tuple[int, int]:
    """Lowest and highest MIDI number of a pattern's bass, by the tones that it uses."""
    if not tones & WIDE_TONES or tones & CHORD_TONES or not tones & {"5", "10"}:
        return LOW_BASS
    return HAND_BASS


def choose_bass(
    symbol: ChordSymbol, between: tuple[int, int], above: int, highest: int | None, before: Pitch | None
) -> Pitch:
    """The bass of a chord: in its range, with what is above it under the melody, and near the bass before.

    Args:
        symbol: the chord; not 'no chord'.
        between: lowest and highest MIDI number.
        above: semitones that the pattern goes above its bass.
        highest: highest MIDI number allowed, or None.
        before: the bass before, or None.
    """
    name = symbol.bass or symbol.root
    low, high = between
    middle = (low + high) // 2
    keys = [key for key in range(LOWEST_KEY, max(high, LOWEST_KEY + OCTAVE) + 1) if key % OCTAVE == name.pitch_class]

    def cost(key: int) -> float:
        outside = max(0, low - key) + max(0, key - high)
        over = max(0, key + above - highest) if highest is not None else 0
        near = abs(key - before.midi) if before is not None else abs(key - middle)
        return OUTSIDE * outside + OVER_MELODY * over + near + OFF_MIDDLE * abs(key - middle)

    return Pitch.named(name, min(keys, key=cost))


def pitch_of(tone: str, placed: ChordInPlace, nth_middle: int) -> tuple[Pitch, ...]:
    """The pitches of a tone of a pattern, before anything is made to fit.

    Args:
        tone: one of `core.song.pattern_grid.TONES`.
        placed: the chord.
        nth_middle: how many middle tones were played before, so that all of them have their turn.
    """
    voicing, bass = placed.voicing, placed.bass
    inner = voicing[1:-1] or voicing[:1]
    if tone == "C":
        return voicing
    if tone == "U":
        return voicing[1:] or voicing
    if tone in ("L", "M", "H"):
        return ({"L": voicing[0], "M": inner[nth_middle % len(inner)], "H": voicing[-1]}[tone],)
    symbol = placed.chord.symbol
    if tone == "R":
        return (bass,)
    if tone == "8":
        return (bass.in_octave(bass.octave + 1),)
    if tone == "10":
        return (_next_above(_degree(symbol, (3, 4, 2), bass.name), bass.midi + OCTAVE),)
    fifth = _degree(symbol, (5,), bass.name)
    if tone == "5_":
        below = _next_above(fifth, bass.midi - OCTAVE - 1)
        if below.midi >= LOWEST_KEY and below.midi < bass.midi:
            return (below,)
    return (_next_above(fifth, bass.midi),)


def _degree(symbol: ChordSymbol, wanted: Sequence[int], bass: NoteName) -> NoteName:
    """The name of the first wanted degree that a chord has and that is not its bass; else the root, else the bass."""
    names = chord_tones(symbol)
    for number in wanted:
        for degree in chord_degrees(symbol):
            at = (symbol.root.pitch_class + interval_of(degree).semitones) % OCTAVE
            if degree.number == number and at != bass.pitch_class:
                return next(name for name in names if name.pitch_class == at)
    return symbol.root


def _next_above(name: NoteName, midi: int) -> Pitch:
    """The lowest pitch with a name above a key."""
    return Pitch.named(name, midi + 1 + (name.pitch_class - midi - 1) % OCTAVE)

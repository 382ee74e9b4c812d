"""A bass that walks: one note to each beat, by step to the root of the next chord.

Common practice of walking and connecting basses: the chord's root first, chord tones while there is time, then
steps of the key (with the chord's own accidentals) that lead to the next root.
"""

from __future__ import annotations

from collections.abc import Sequence

from core.arranging.placed_tones import LOWEST_KEY, OCTAVE
from core.song.chord import ChordSymbol
from core.song.errors import DomainError
from core.song.key import Key
from core.song.pitch import LETTERS, NoteName, Pitch
from core.theory.chord_tones import chord_tones


def walk(symbol: ChordSymbol, bass: Pitch, target: Pitch | None, count: int, key: Key) -> tuple[Pitch, ...]:
    """So many notes from a chord's bass towards the next one.

    Args:
        symbol: the chord.
        bass: its bass, the first note.
        target: the next chord's bass, near this one; None where none follows.
        count: how many notes, one or more.
        key: the key there.
    """
    steps = _between(bass, target, symbol, key) if target is not None else []
    leading = steps[max(0, len(steps) - (count - 1)) :]
    standing = _standing(symbol, bass, count - len(leading), target)
    return (*standing, *leading)


def _between(bass: Pitch, target: Pitch, symbol: ChordSymbol, key: Key) -> list[Pitch]:
    """The steps of the key strictly between two notes, in the direction of the second."""
    distance = target.staff_step - bass.staff_step
    way = 1 if distance > 0 else -1
    steps = [_at_step(bass.staff_step + way * step, symbol, key) for step in range(1, abs(distance))]
    low, high = sorted((bass.midi, target.midi))
    return [pitch for pitch in steps if low < pitch.midi < high]


def _at_step(staff_step: int, symbol: ChordSymbol, key: Key) -> Pitch:
    """The note on a staff step as the chord has it, else as the key has it."""
    octave, place = divmod(staff_step, 7)
    letter = LETTERS[place]
    name = next((name for name in chord_tones(symbol) if name.letter == letter), key.altered(letter))
    return Pitch.of(name, octave)


def _standing(symbol: ChordSymbol, bass: Pitch, count: int, target: Pitch | None) -> list[Pitch]:
    """Chord tones around the bass: the bass itself, then the third and the fifth nearest to it, by turns."""
    others = [_near(name, bass) for name in chord_tones(symbol)[1:3] if name.pitch_class != bass.midi % OCTAVE]
    if not others:
        return [bass] * count
    if target is not None and count > 1:
        # The last chord tone lies on the way to the next root.
        others.sort(key=lambda pitch: -abs(pitch.midi - target.midi))
    turns = [bass]
    while len(turns) < count:
        turns.append(others[(len(turns) // 2) % len(others)] if len(turns) % 2 else bass)
    if count > 1:
        turns[-1] = others[-1]
    return turns


def _near(name: NoteName, bass: Pitch) -> Pitch:
    """The pitch of a name within an octave above the bass, or below it where that is nearer and not too low."""
    above = bass.midi + (name.pitch_class - bass.midi) % OCTAVE
    below = above - OCTAVE
    key = below if above - bass.midi > OCTAVE // 2 + 1 and below >= LOWEST_KEY else above
    try:
        return Pitch.named(name, key)
    except DomainError:
        return bass


def roots_ahead(basses: Sequence[Pitch | None]) -> list[Pitch | None]:
    """For each chord the next chord's bass, None where none follows."""
    ahead: list[Pitch | None] = []
    following: Pitch | None = None
    for bass in reversed(basses):
        ahead.append(following)
        following = bass or following
    return ahead[::-1]

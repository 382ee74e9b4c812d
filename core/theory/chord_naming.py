"""Names for sounding notes: every chord symbol that they may be, the likeliest first.

Each sounding pitch class is tried as the root, and the others are read as degrees over it in the usual way: a third
is minor or major, or the chord is suspended; a tritone is a flat fifth where there is no perfect one, else a sharp
eleventh; a sixth over a seventh is a thirteenth, and so on (common practice of lead sheets). Names then compete: the
plainer symbol, the root in the bass, the root and tones of the key, and, where the notes are spelled, the spelling.
A plain fifth that is missing is not mentioned, since it is the first tone to be left out.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from core.song.chord import ChordSymbol, Degree
from core.song.key import Key
from core.song.pitch import NoteName, Pitch
from core.song.wording import say
from core.theory.chord_building import build_chord, complexity
from core.theory.chord_tones import chord_degrees, chord_tones
from core.theory.spelling import name_in_key

_ROOT_IN_BASS: Final = 1.3
_TONE_IN_BASS: Final = 0.3
_ROOT_IN_KEY: Final = 0.7
_LEADING_TONE: Final = 1.5
_TONE_OUT_OF_KEY: Final = 0.25
_MISSPELLED: Final = 1.5
_NO_FIFTH: Final = 0.5
_NO_FIFTH_IN_TRIAD: Final = 1.2
_NO_FIFTH_UNDER_SIXTH: Final = 2.5
"""A chord of a third and a sixth is an inverted triad before it is a sixth chord."""
_FOREIGN_BASS: Final = 1.1
_SYMMETRICAL: Final = frozenset({0, 3, 6, 9})
_SYMMETRICAL_BASS: Final = 0.4
"""A diminished seventh takes its root from the key before it takes it from the bass."""
_AUGMENTED: Final = frozenset({0, 4, 8})
_FIFTH: Final = 7
_OCTAVES: Final = 48
_AS_PLAIN: Final = 1.5
"""How much less plain another name may be to be worth a mention."""
_SHARPNESS: Final = 2.0
"""How fast confidence grows with the lead over the next name."""
_WORTH_LISTING: Final = 0.01
"""A name this many times less likely than the best is not offered."""


class NamedChord(Struct, frozen=True):
    """A name for sounding notes, and how likely it is among the names offered, 0 … 1 (they add up to 1)."""

    symbol: ChordSymbol
    confidence: float


def name_chord(
    notes: Sequence[int] | Sequence[Pitch], key: Key | None = None, bass: int | Pitch | None = None
) -> tuple[NamedChord, ...]:
    """Every name that sounding notes may have, the likeliest first; () for fewer than two different tones.

    Args:
        notes: MIDI numbers or spelled pitches, in any order.
        key: the key around them, which decides between names and spells MIDI numbers; None for no known key.
        bass: the lowest sounding note where it is not among `notes`; None for the lowest of them.
    """
    if not notes:
        return ()
    lowest = min(notes, key=_midi) if bass is None else bass
    classes = sorted({_midi(note) % 12 for note in (*notes, lowest)})
    if len(classes) < 2:
        return ()
    spelled = {note.midi % 12: note.name for note in (*notes, lowest) if isinstance(note, Pitch)}
    under = _midi(lowest) % 12
    offers = [_offer(root, classes, under, key, spelled) for root in classes]
    upper = sorted({_midi(note) % 12 for note in notes if _midi(note) > _midi(lowest)} - {under})
    if len(upper) >= 3:
        offers += [_offer(root, upper, under, key, spelled) for root in upper]
    scores: dict[ChordSymbol, float] = {}
    for symbol, score in offers:
        scores[symbol] = max(score, scores.get(symbol, score))
    best = max(scores.values())
    weights = {symbol: math.exp(_SHARPNESS * (score - best)) for symbol, score in scores.items()}
    weights = {symbol: weight for symbol, weight in weights.items() if weight >= _WORTH_LISTING}
    total = sum(weights.values())
    named = [NamedChord(symbol, weight / total) for symbol, weight in weights.items()]
    return tuple(sorted(named, key=lambda name: -name.confidence))


class OtherName(Struct, frozen=True):
    """Another name for the tones of a chord.

    Attributes:
        symbol: the other name, over the same bass.
        reason: one sentence on why it is the other one here, and not the chord's.
    """

    symbol: ChordSymbol
    reason: str


def other_names(symbol: ChordSymbol, key: Key | None = None, after: ChordSymbol | None = None) -> tuple[OtherName, ...]:
    """Other names that the very tones of a chord may have, such as Am7/C for C6; () for most chords.

    Args:
        symbol: the chord as it is named.
        key: the key around it.
        after: the chord that follows, which can speak for a name: a root that falls a fifth is a root indeed.
    """
    if symbol.is_silent:
        return ()
    tones = chord_tones(symbol)
    bass = symbol.bass or symbol.root
    classes = {tone.pitch_class for tone in tones} | {bass.pitch_class}
    under = bass.pitch_class + _OCTAVES
    notes = sorted(under + (at - under) % 12 for at in classes)
    found: list[OtherName] = []
    for named in name_chord(notes, key):
        other = named.symbol
        if other.root.pitch_class == symbol.root.pitch_class:
            continue
        if {tone.pitch_class for tone in chord_tones(other)} != classes:
            continue
        if complexity(frozenset(chord_degrees(other))) <= complexity(frozenset(chord_degrees(symbol))) + _AS_PLAIN:
            found.append(OtherName(other, _why_other(symbol, other, key, after)))
    return tuple(found)


def _why_other(symbol: ChordSymbol, other: ChordSymbol, key: Key | None, after: ChordSymbol | None) -> str:
    tones = frozenset((tone.pitch_class - symbol.root.pitch_class) % 12 for tone in chord_tones(symbol))
    if tones in (_SYMMETRICAL, _AUGMENTED):
        return say("Every tone of it can be the root; {note} is one of them.", note=other.root.spoken)
    if after is not None and not after.is_silent:
        falls = (other.root.pitch_class - after.root.pitch_class) % 12
        if falls == _FIFTH:
            return say(
                "The same tones with {note} as the root, which falls a fifth to {next_note}: "
                "likely where the ear hears that step.",
                note=other.root.spoken,
                next_note=after.root.spoken,
            )
    if (symbol.bass or symbol.root) == symbol.root:
        return say(
            "The same tones with {note} as the root; but {bass} lies in the bass.",
            note=other.root.spoken,
            bass=symbol.root.spoken,
        )
    if key is not None and other.root.pitch_class not in {degree.pitch_class for degree in key.scale}:
        return say(
            "The same tones with {note} as the root; but {note} does not belong to {key}.",
            note=other.root.spoken,
            key=key.spoken,
        )
    return say("The same tones with {note} as the root.", note=other.root.spoken)


def _midi(note: int | Pitch) -> int:
    return note.midi if isinstance(note, Pitch) else note


def _offer(
    root: int, classes: Sequence[int], bass: int, key: Key | None, spelled: dict[int, NoteName]
) -> tuple[ChordSymbol, float]:
    """The name over one root, and its score; a bass that is not among the classes is foreign to the chord."""
    heights = frozenset((other - root) % 12 for other in classes)
    degrees = degrees_over_root(heights)
    score = 0.0
    numbers = {degree.number for degree in degrees}
    if 5 not in numbers and (numbers & {2, 3, 4}):
        degrees |= {Degree(5)}
        score -= _NO_FIFTH if 7 in numbers else _NO_FIFTH_UNDER_SIXTH if 6 in numbers else _NO_FIFTH_IN_TRIAD
    name = spelled.get(root) or name_in_key(root, key)
    bare = build_chord(name, degrees)
    tones = {tone.pitch_class: tone for tone in chord_tones(bare)}
    bass_name = None if bass == root else spelled.get(bass) or tones.get(bass) or name_in_key(bass, key)
    score -= complexity(degrees) + (0.0 if bass in classes else _FOREIGN_BASS)
    score += _bass_score(heights, (bass - root) % 12, key)
    score -= _MISSPELLED * sum(1 for at, tone in tones.items() if at in spelled and spelled[at] != tone)
    if key is not None:
        scale = {degree.pitch_class for degree in key.scale}
        leading = (key.tonic.pitch_class - 1) % 12
        score += _ROOT_IN_KEY if root in scale else 0.0
        score += _LEADING_TONE if root == leading and {3, 6} <= heights else 0.0
        score -= _TONE_OUT_OF_KEY * len(set(classes) - scale)
    return build_chord(name, degrees, bass_name), score


def _bass_score(heights: frozenset[int], bass: int, key: Key | None) -> float:
    """What speaks for a root from where the bass lies over it."""
    if bass == 0:
        return _SYMMETRICAL_BASS if heights == _SYMMETRICAL and key is not None else _ROOT_IN_BASS
    return _TONE_IN_BASS if bass in (3, 4, 7) and bass in heights else 0.0


def degrees_over_root(heights: frozenset[int]) -> frozenset[Degree]:
    """Semitones above a root, 0 … 11, read as chord degrees in the usual way."""
    has_third = 3 in heights or 4 in heights
    diminished = {3, 6, 9} <= heights and not heights & {4, 7, 10, 11}
    seventh = bool(heights & {10, 11}) or diminished
    found = {Degree(1)} if 0 in heights else set()
    if 3 in heights:
        found.add(Degree(9, 1) if 4 in heights else Degree(3, -1))
    if 4 in heights:
        found.add(Degree(3))
    if 2 in heights:
        found.add(Degree(9) if has_third or 5 in heights else Degree(2))
    if 5 in heights:
        found.add(Degree(11) if has_third else Degree(4))
    if 1 in heights:
        found.add(Degree(9, -1))
    if 7 in heights:
        found.add(Degree(5))
    if 6 in heights:
        found.add(Degree(11, 1) if 7 in heights else Degree(5, -1))
    if 8 in heights:
        raised = 7 not in heights and 6 not in heights and 3 not in heights
        found.add(Degree(5, 1) if raised else Degree(13, -1))
    if 9 in heights:
        found.add(Degree(7, -1) if diminished else Degree(13) if seventh else Degree(6))
    if 10 in heights:
        found.add(Degree(7))
    if 11 in heights:
        found.add(Degree(7, 1))
    return frozenset(found)

"""Chords placed in the left hand: which tones, in which order, in which octave.

Root position is the rule, since beginners are taught it first; the nearest inversion is taken on request, with
common tones kept and the others moved by the smallest distance (common practice of keyboard harmony). A chord
lies within the hand's reach, above the lowest usable intervals, and below the right hand where that is given.

Where a chord has more tones than the hand takes, root, third, seventh and the tones that give the chord its name
stay, and the plain fifth goes first (common practice); `left_out` tells what is missing.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import combinations, pairwise
from typing import Final

from msgspec import Struct

from core.song.chord import NEAREST, ROOT_POSITION, VOICING_STYLES, ChordSymbol, Degree
from core.song.errors import DomainError
from core.song.hand_profile import HandProfile
from core.song.pitch import NoteName, Pitch
from core.song.wording import say
from core.theory.chord_tones import chord_degrees, chord_tones, interval_of

LOWEST_USABLE: Final = {1: 52, 2: 51, 3: 48, 4: 47, 5: 45, 6: 35, 7: 37, 8: 41, 9: 41, 10: 41, 11: 41}
"""Lowest MIDI number at which an interval of so many semitones still sounds clear as a bass.

A common arranging table of low interval limits (E–F 52, E♭–F 51, C–E♭ 48, B–D♯ 47, A–D 45, B–F 35, C♯–G♯ 37,
F–D♭, F–D, F–E♭ and F–E 41), seen on a retailer's glossary page; octaves there have middle C as C3.
"""
LOWEST: Final = 43
HIGHEST: Final = 67
CENTRE: Final = 55
"""The left hand's register: G2 to G4, about the G below middle C."""
MOST_TONES: Final = 4
"""Tones that one hand strikes at once in a beginner's chord."""

_OUT_OF_REGISTER: Final = 2.0
_TOO_LOW: Final = 3.0
_OVER_RIGHT_HAND: Final = 25.0
_OFF_CENTRE: Final = 0.1
_INVERTED: Final = 8.0
_LOSS: Final = {"root": 6.0, "third": 12.0, "fifth": 1.0, "seventh": 10.0, "colour": 5.0, "ninth": 3.0}


class _Shape(Struct, frozen=True):
    """A chord in the hand before its octave is chosen."""

    bass: NoteName
    tones: tuple[tuple[NoteName, int], ...]
    """Names with semitones above the bass, the bass itself first at 0."""
    cost: float


class Asked(Struct, frozen=True):
    """A chord that is to be placed.

    Attributes:
        symbol: what it is.
        style: ``root`` for root position (or the written bass), ``nearest`` for the inversion that moves the hand
            least from the chord before.
        highest: highest MIDI number allowed, such as the key below the melody; None for the usual register.
    """

    symbol: ChordSymbol
    style: str = ROOT_POSITION
    highest: int | None = None

    def __post_init__(self) -> None:
        if self.style not in VOICING_STYLES:
            raise DomainError(say("the style of a voicing"), self.style, say("root or nearest"))


def voice(
    symbols: Sequence[ChordSymbol], hands: HandProfile, style: str = ROOT_POSITION, highest: int | None = None
) -> tuple[tuple[Pitch, ...], ...]:
    """The pitches of each chord, low to high; () for no chord.

    Args:
        symbols: chords in order.
        hands: the player's reach; the left hand's is kept.
        style: ``root`` for root position (or the written bass), each chord for itself; ``nearest`` for the inversion
            that moves the hand least from chord to chord.
        highest: highest MIDI number allowed, such as the key below the melody; None for the usual register.

    Raises DomainError for another style.
    """
    return voice_each([Asked(symbol, style, highest) for symbol in symbols], hands)


def voice_each(
    asked: Sequence[Asked], hands: HandProfile, before: tuple[Pitch, ...] = ()
) -> tuple[tuple[Pitch, ...], ...]:
    """The pitches of each chord, low to high, where each may be asked for in its own way; () for no chord.

    Chords in root position stand where they would stand alone. Neighbours that are asked for as ``nearest`` are
    placed together, so that the hand moves least in all from the chord before them on. Without a chord before, the
    first one stands in root position.

    Args:
        asked: chords in order.
        hands: the player's reach; the left hand's is kept.
        before: where the hand is when the first chord comes; () where it comes from nowhere.
    """
    reach = hands.left_reach
    placed: list[tuple[Pitch, ...]] = []
    run: list[Asked] = []
    for one in asked:
        if run and (one.symbol.is_silent or one.style == NEAREST):
            run.append(one)
            continue
        placed.extend(_nearest(run, before, reach))
        run = []
        before = next((voicing for voicing in reversed(placed) if voicing), before)
        if one.style == NEAREST and before and not one.symbol.is_silent:
            run = [one]
        else:
            placed.append(_best(one.symbol, reach, one.highest))
            before = placed[-1] or before
    return (*placed, *_nearest(run, before, reach))


def thick_intervals(voicing: Sequence[Pitch]) -> tuple[tuple[Pitch, Pitch], ...]:
    """Neighbouring tones of a voicing that lie below the lowest usable place of their interval."""
    return tuple(
        (low, high) for low, high in pairwise(voicing) if low.midi < LOWEST_USABLE.get(high.midi - low.midi, 0)
    )


def left_out(symbol: ChordSymbol, voicing: Sequence[Pitch]) -> tuple[NoteName, ...]:
    """The chord tones that a voicing leaves out, in stacked order."""
    present = {pitch.midi % 12 for pitch in voicing}
    return tuple(name for name in chord_tones(symbol) if name.pitch_class not in present)


def movement(voicings: Sequence[Sequence[Pitch]]) -> int:
    """Semitones that the hand's voices move in all, from each voicing to the next; rests are passed over."""
    sounding = [tuple(pitch.midi for pitch in voicing) for voicing in voicings if voicing]
    return sum(motion(before, after) for before, after in pairwise(sounding))


@lru_cache(maxsize=65536)
def motion(before: tuple[int, ...], after: tuple[int, ...]) -> int:
    """Semitones from one set of MIDI numbers to another, both low to high.

    Voices keep their order. Where the sets differ in size, each voice that comes or goes counts its distance to the
    nearest one of the smaller set.
    """
    few, many = sorted((before, after), key=len)
    if not few:
        return 0
    least = None
    for kept in combinations(range(len(many)), len(few)):
        total = sum(abs(many[index] - other) for index, other in zip(kept, few, strict=True))
        total += sum(min(abs(many[i] - other) for other in few) for i in range(len(many)) if i not in kept)
        least = total if least is None else min(least, total)
    return least or 0


def _importance(symbol: ChordSymbol, degree: Degree) -> float:
    """What is lost without a degree."""
    if degree in symbol.alterations or degree in symbol.added:
        return _LOSS["colour"]
    if degree.number == 1:
        return _LOSS["root"]
    if degree.number in (2, 3, 4):
        return _LOSS["third"]
    if degree.number == 5:
        return _LOSS["fifth"] if degree.alteration == 0 else _LOSS["colour"]
    if degree.number in (6, 7):
        return _LOSS["seventh"]
    return _LOSS["colour"] if degree.number == symbol.extension else _LOSS["ninth"]


@lru_cache(maxsize=4096)
def _shapes(symbol: ChordSymbol, reach: int) -> tuple[_Shape, ...]:
    """Every way to take a chord in one hand: over its written bass, or over each tone that it keeps."""
    degrees = chord_degrees(symbol)
    if not degrees:
        return ()
    worth: dict[int, tuple[float, int, NoteName]] = {}
    for degree in degrees:
        height = interval_of(degree).semitones
        name = next(name for name in chord_tones(symbol) if name.pitch_class == (symbol.root.pitch_class + height) % 12)
        importance = _importance(symbol, degree)
        if height % 12 not in worth or worth[height % 12][0] < importance:
            worth[height % 12] = (importance, height, name)
    if symbol.bass is not None:
        above = (symbol.bass.pitch_class - symbol.root.pitch_class) % 12
        basses = [(symbol.bass, above, 0.0)]
    else:
        basses = [(name, height % 12, 0.0 if height == 0 else _INVERTED) for _, height, name in worth.values()]
    return tuple(_shape(worth, bass, reach) for bass in basses)


def _shape(worth: dict[int, tuple[float, int, NoteName]], bass: tuple[NoteName, int, float], reach: int) -> _Shape:
    """Take the weightiest tones that the hand holds above a bass: stacked as written if it can, else close."""
    name, at, cost = bass
    others = sorted((entry for height, entry in worth.items() if height != at), key=lambda entry: (-entry[0], entry[1]))
    if at == 0:
        stacked = others[: MOST_TONES - 1]
        if all(height <= reach for _, height, _ in stacked):
            lost = sum(entry[0] for entry in others[MOST_TONES - 1 :])
            tones = sorted([(tone, height) for _, height, tone in stacked], key=lambda tone: tone[1])
            return _Shape(name, ((name, 0), *tones), cost + lost)
    kept: list[tuple[NoteName, int]] = []
    for importance, height, tone in others:
        close = (height - at) % 12
        if len(kept) < MOST_TONES - 1 and close <= reach:
            kept.append((tone, close))
        else:
            cost += importance
    return _Shape(name, ((name, 0), *sorted(kept, key=lambda tone: tone[1])), cost)


@lru_cache(maxsize=8192)
def _placed(symbol: ChordSymbol, reach: int, highest: int | None) -> tuple[tuple[float, tuple[Pitch, ...]], ...]:
    """Every shape in every octave of the left hand's register, with its cost."""
    found: list[tuple[float, tuple[Pitch, ...]]] = []
    for shape in _shapes(symbol, reach):
        for bass in range(shape.bass.pitch_class + 36, 72, 12):
            pitches = tuple(Pitch.named(name, bass + height) for name, height in shape.tones)
            found.append((shape.cost + _register_cost(tuple(pitch.midi for pitch in pitches), highest), pitches))
    return tuple(found)


def _register_cost(midis: tuple[int, ...], highest: int | None) -> float:
    cost = _OFF_CENTRE * abs(sum(midis) / len(midis) - CENTRE)
    cost += _OUT_OF_REGISTER * (max(0, LOWEST - midis[0]) + max(0, midis[-1] - HIGHEST))
    if highest is not None:
        cost += _OVER_RIGHT_HAND * max(0, midis[-1] - highest)
    return cost + _TOO_LOW * sum(max(0, LOWEST_USABLE.get(high - low, 0) - low) for low, high in pairwise(midis))


def _best(symbol: ChordSymbol, reach: int, highest: int | None) -> tuple[Pitch, ...]:
    placed = _placed(symbol, reach, highest)
    return min(placed, key=lambda entry: entry[0])[1] if placed else ()


def _nearest(run: Sequence[Asked], before: tuple[Pitch, ...], reach: int) -> tuple[tuple[Pitch, ...], ...]:
    """The path of least movement from one voicing through every chord's shapes; () for each rest.

    Least cost by dynamic programming: semitones moved, and a share of what a shape costs by itself, so that the
    hand does not drift out of its register; inversions cost nothing here.
    """
    paths: list[tuple[float, tuple[Pitch, ...], tuple[tuple[Pitch, ...], ...]]] = [(0.0, before, ())]
    for one in run:
        symbol = one.symbol
        shapes = _placed(symbol, reach, one.highest)
        if not shapes:
            paths = [(cost, last, (*path, ())) for cost, last, path in paths]
            continue
        following: list[tuple[float, tuple[Pitch, ...], tuple[tuple[Pitch, ...], ...]]] = []
        for cost, pitches in shapes:
            inverted = symbol.bass is None and pitches[0].midi % 12 != symbol.root.pitch_class
            own = cost - (_INVERTED if inverted else 0.0)
            total, path = min(
                ((path[0] + _distance(path[1], pitches), path[2]) for path in paths), key=lambda way: way[0]
            )
            following.append((total + own, pitches, (*path, pitches)))
        paths = following
    return min(paths, key=lambda path: path[0])[2]


def _distance(before: tuple[Pitch, ...], after: tuple[Pitch, ...]) -> int:
    return motion(tuple(pitch.midi for pitch in before), tuple(pitch.midi for pitch in after))

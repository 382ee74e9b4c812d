"""What the left hand plays: the chords of a part through time.

The plain version holds each chord as a block; it is never lost, since every other version is made from the same
chords and stored nowhere. Patterns are data (`core.arranging.catalogue`); three are not grids: *broken* and
*broken_up* play the tones of each chord one after another, and *walking* goes by step to the next chord.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

from msgspec import Struct

from core.arranging.beats import bar_line, beats_in
from core.arranging.catalogue import PATTERNS, WALKING
from core.arranging.in_reach import REMARKS, fit
from core.arranging.patterns import LeftHandPattern, Struck, own_pattern, pattern_of, strokes_of
from core.arranging.placed_tones import ABOVE_BASS, LOW_BASS, ChordInPlace, bass_range, choose_bass, pitch_of
from core.arranging.walking import roots_ahead, walk
from core.song.metre import Bar, bar_at
from core.song.note import Hand, Note
from core.song.part import in_order
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from core.song.wording import say
from core.teaching.left_hand_voicings import asked_for, voicings

__all__ = [
    "PATTERNS",
    "LeftHandPattern",
    "left_hand",
    "left_hand_remarks",
    "pattern_in",
    "pattern_named",
    "patterns_in",
]

PLAIN: Final = "block"
BROKEN: Final = "broken"
BROKEN_UP: Final = "broken_up"
ROLL: Final = TICKS_PER_QUARTER // 8
"""How long before the others the lowest note of a rolled stroke sounds, at most a quarter of the stroke."""


class Played(Struct, frozen=True):
    """Pitches struck together, before they are made to fit: ticks from the song's start."""

    onset: int
    end: int
    pitches: tuple[Pitch, ...]


class Arranged(Struct, frozen=True):
    """A left hand: its notes with onsets from the part's start, and what had to be changed for the hand."""

    notes: tuple[Note, ...]
    changes: tuple[tuple[int, str], ...]
    """Ticks from the song's start, and one of `core.arranging.in_reach.REMARKS`."""


def pattern_named(name: str) -> LeftHandPattern:
    """The pattern with a name; raises DomainError for an unknown one."""
    return pattern_of(name, PATTERNS)


def patterns_in(song: Song) -> tuple[LeftHandPattern, ...]:
    """Every pattern that a song's parts can choose: those of the trade, then the teacher's own."""
    return (*PATTERNS, *(own_pattern(own) for own in song.patterns))


def pattern_in(song: Song, name: str) -> LeftHandPattern:
    """The pattern with a name, the song's own among them; raises DomainError for an unknown one."""
    return pattern_of(name, patterns_in(song))


def left_hand(song: Song, number: int, pattern: str | None = None) -> tuple[Note, ...]:
    """The left hand's notes of a part, with onsets from the part's start, in order.

    Args:
        song: the song.
        number: part number from 1.
        pattern: name of a pattern, or None for the part's own choice. The block pattern of a part whose left
            hand is written out is what is written.

    Raises:
        DomainError: for an unknown part or pattern.
    """
    part = song.part(number)
    chosen = pattern_in(song, pattern or part.teaching.pattern)
    written = part.hand(Hand.LEFT)
    if not part.chords or (chosen.name == PLAIN and written):
        return written
    return arranged(song, number, chosen).notes


def left_hand_remarks(song: Song, number: int, pattern: str | None = None) -> tuple[tuple[int, str], ...]:
    """What a pattern takes otherwise for this hand and melody: ticks from the song's start, and a sentence.

    Each kind of change is told once, where it comes first, with how often it comes.
    """
    part = song.part(number)
    chosen = pattern_in(song, pattern or part.teaching.pattern)
    if not part.chords or (chosen.name == PLAIN and part.hand(Hand.LEFT)):
        return ()
    by_change: dict[str, list[int]] = {}
    for tick, change in arranged(song, number, chosen).changes:
        by_change.setdefault(change, []).append(tick)
    remarks = []
    for change, ticks in by_change.items():
        numbers = sorted({bar_at(song.bars, tick).number for tick in ticks})
        remark = say(REMARKS[change])
        if len(numbers) == 1:
            told = say("Bar {bar}: {remark}.", bar=numbers[0], remark=remark)
        else:
            told = say("Bars {first} to {last}: {remark}.", first=numbers[0], last=numbers[-1], remark=remark)
        remarks.append((ticks[0], told))
    return tuple(sorted(remarks))


def arranged(song: Song, number: int, pattern: LeftHandPattern) -> Arranged:
    """A part's chords in a pattern, and what was changed so that the hand reaches it."""
    start = song.part_onsets[number - 1]
    bars = _bars_between(song.bars, start, start + song.part(number).duration)
    placed = _in_place(song, number, pattern)
    ahead = roots_ahead([None if one is None else one.bass for one in placed])
    notes: list[Note] = []
    changes: list[tuple[int, str]] = []
    for one, target in zip(placed, ahead, strict=True):
        if one is None:
            continue
        for played in _played(song, bars, one, pattern, start, target):
            onset, duration = played.onset - start, played.end - played.onset
            if pattern.name == PLAIN:
                notes.extend(_left(onset, duration, pitch) for pitch in played.pitches)
                continue
            fitted = fit(played.pitches, song.hands.left_reach, one.highest, one.voicing)
            changes.extend((played.onset, change) for change in dict.fromkeys(fitted.changes))
            roll = min(ROLL, duration // 4) if fitted.first else 0
            if fitted.first and not roll:
                notes.extend(_left(onset, duration, pitch) for pitch in fitted.first)
                continue
            notes.extend(_left(onset, roll, pitch) for pitch in fitted.first)
            notes.extend(_left(onset + roll, duration - roll, pitch) for pitch in fitted.pitches)
    return Arranged(in_order(notes), tuple(changes))


def _in_place(song: Song, number: int, pattern: LeftHandPattern) -> list[ChordInPlace | None]:
    """Each chord of a part with its voicing and its bass; None for 'no chord'."""
    part = song.part(number)
    tones = frozenset(tone for grid in pattern.grids for stroke in grid.strokes for tone in stroke.tones)
    between = LOW_BASS if pattern.name == WALKING else bass_range(tones)
    above = max((ABOVE_BASS.get(tone, 0) for tone in tones), default=0)
    before: Pitch | None = None
    placed: list[ChordInPlace | None] = []
    for index, (chord, voicing) in enumerate(zip(part.chords, voicings(song, number), strict=True)):
        if not voicing:
            placed.append(None)
            continue
        highest = asked_for(part, index).highest
        before = choose_bass(chord.symbol, between, above, highest, before)
        placed.append(ChordInPlace(chord, voicing, before, highest))
    return placed


def _played(
    song: Song, bars: Sequence[Bar], one: ChordInPlace, pattern: LeftHandPattern, start: int, target: Pitch | None
) -> Iterator[Played]:
    onset, end = start + one.chord.onset, start + one.chord.end
    if pattern.name in (BROKEN, BROKEN_UP):
        yield from _broken(bars, one.voicing, onset, end, up=pattern.name == BROKEN_UP)
    elif pattern.name == WALKING:
        edges = _beat_edges(bars, onset, end)
        steps = walk(one.chord.symbol, one.bass, target, len(edges) - 1, song.key_at(onset))
        for (first, last), pitch in zip(pairwise(edges), steps, strict=True):
            yield Played(first, last, (pitch,))
    else:
        yield from _struck(strokes_of(pattern, bars, onset, end), one)


def _bars_between(bars: Sequence[Bar], start: int, end: int) -> Sequence[Bar]:
    """The bars that a stretch of a song lies in."""
    first = max(0, bisect_right(bars, start, key=lambda bar: bar.onset) - 1)
    return bars[first : bisect_left(bars, end, key=lambda bar: bar.onset)]


def _struck(strokes: Sequence[Struck], one: ChordInPlace) -> Iterator[Played]:
    middle = 0
    for stroke in strokes:
        pitches: list[Pitch] = []
        for tone in stroke.tones:
            pitches.extend(pitch_of(tone, one, middle))
            middle += tone == "M"
        yield Played(stroke.onset, stroke.end, tuple(sorted(pitches, key=lambda pitch: pitch.midi)))


def _beat_edges(bars: Sequence[Bar], start: int, end: int) -> list[int]:
    """A chord's start, the beats inside it, and its end."""
    beats = [beat.onset for bar in bars if bar.end > start and bar.onset < end for beat in beats_in(bar)]
    return [start, *(tick for tick in beats if start < tick < end), end]


def _broken(bars: Sequence[Bar], tones: Sequence[Pitch], start: int, end: int, *, up: bool) -> Iterator[Played]:
    """Up through the chord; in a bar that is longer than the chord has tones, back by the inner ones unless `up`."""
    around = tones if up or bar_at(bars, start).metre.is_compound else (*tones, *reversed(tones[1:-1]))
    here, place = start, 0
    while here < end:
        bar = bar_at(bars, here)
        step = bar.metre.unit_ticks if bar.metre.is_compound else bar.metre.beat_ticks
        # A pick-up is counted back from the bar line after it, so that its beats are the bar's last ones.
        anchor = bar_line(bar)
        until = min(anchor + ((here - anchor) // step + 1) * step, max(bar.end, here + 1), end)
        if here == bar.onset:
            place = 0
        yield Played(here, until, (around[place % len(around)],))
        here, place = until, place + 1


def _left(onset: int, duration: int, pitch: Pitch) -> Note:
    return Note(onset, duration, pitch, Hand.LEFT, hand_given=False, melody=False)

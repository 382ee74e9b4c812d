"""What the left hand plays: the chords of a part through time.

The plain version holds each chord as a block. A pattern breaks the same chord up; names and definitions are
the trade's generic ones (common practice): *broken* plays the tones one after another from the lowest up,
*octaves* strikes the bass note with its octave on every beat.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from core.song.chord import Chord
from core.song.errors import DomainError
from core.song.metre import Bar, bar_at
from core.song.note import Hand, Note
from core.song.part import in_order
from core.song.pitch import Pitch
from core.song.song import Song
from core.teaching.left_hand_voicings import Voicing, voicings

LOWEST_OCTAVE_ROOT: Final = 33
"""MIDI number of the lowest key that an octave in the left hand starts from (A1): lower ones growl."""
OCTAVE: Final = 12


@dataclass(frozen=True, slots=True)
class Placed:
    """A voiced chord with the bars it lies in, and the reach of the hand that plays it."""

    chord: Chord
    voicing: Voicing
    bars: Sequence[Bar]
    start: int
    reach: int

    def moments(self, spacing: Callable[[Bar], int]) -> list[tuple[int, int, int]]:
        """(onset, duration, place since the last bar line or the chord's start) for each stroke.

        Strokes lie on a grid that starts anew in every bar; one that the chord's start or end cuts is shortened.
        Onsets are in ticks from the part's start.
        """
        strokes: list[tuple[int, int, int]] = []
        here, end = self.start + self.chord.onset, self.start + self.chord.end
        place = 0
        while here < end:
            bar = bar_at(self.bars, here)
            step = spacing(bar)
            # A pick-up is counted back from the bar line after it, so that its beats are the bar's last ones.
            anchor = bar.end - bar.metre.bar_ticks if bar.number == 0 else bar.onset
            until = min(anchor + ((here - anchor) // step + 1) * step, max(bar.end, here + 1), end)
            if here == bar.onset:
                place = 0
            strokes.append((here - self.start, until - here, place))
            here, place = until, place + 1
        return strokes


def _beat(bar: Bar) -> int:
    return bar.metre.beat_ticks


def _division(bar: Bar) -> int:
    return bar.metre.unit_ticks if bar.metre.is_compound else bar.metre.beat_ticks


def _block(placed: Placed) -> list[Note]:
    chord = placed.chord
    return [_left(chord.onset, chord.duration, pitch) for pitch in placed.voicing]


def _broken(placed: Placed) -> list[Note]:
    tones = placed.voicing
    if not tones:
        return []
    # Up through the chord; in a bar that is longer than the chord has tones, back by the inner ones.
    compound = bar_at(placed.bars, placed.start + placed.chord.onset).metre.is_compound
    around = tones if compound else (*tones, *reversed(tones[1:-1]))
    return [_left(onset, duration, around[place % len(around)]) for onset, duration, place in placed.moments(_division)]


def _octaves(placed: Placed) -> list[Note]:
    if not placed.voicing:
        return []
    bass = placed.voicing[0]
    root = next(bass.in_octave(octave) for octave in range(0, 8) if bass.in_octave(octave).midi >= LOWEST_OCTAVE_ROOT)
    pitches = [root] if placed.reach < OCTAVE else [root, root.in_octave(root.octave + 1)]
    return [_left(onset, duration, pitch) for onset, duration, _ in placed.moments(_beat) for pitch in pitches]


def _left(onset: int, duration: int, pitch: Pitch) -> Note:
    return Note(onset, duration, pitch, Hand.LEFT, hand_given=False, melody=False)


@dataclass(frozen=True, slots=True)
class LeftHandPattern:
    """A way for the left hand to play its chords.

    Attributes:
        name: how files name it.
        title: how screens and plans name it.
        words: how the teacher introduces it.
        play: a placed chord to notes with onsets from the part's start.
    """

    name: str
    title: str
    words: str
    play: Callable[[Placed], list[Note]]


PATTERNS: Final = (
    LeftHandPattern("block", "block chords", "Left hand: all notes of the chord together, and hold them.", _block),
    LeftHandPattern(
        "broken",
        "broken chords",
        "Left hand: the notes of the chord one after another, from the lowest up.",
        _broken,
    ),
    LeftHandPattern(
        "octaves",
        "octaves",
        "Left hand: only the lowest note of the chord, with its octave, on every beat.",
        _octaves,
    ),
)


def pattern_named(name: str) -> LeftHandPattern:
    """The pattern with a name; raises DomainError for an unknown one."""
    for pattern in PATTERNS:
        if pattern.name == name:
            return pattern
    raise DomainError("a left-hand pattern", name, "one of " + ", ".join(pattern.name for pattern in PATTERNS))


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
    chosen = pattern_named(pattern or part.teaching.pattern)
    written = part.hand(Hand.LEFT)
    if chosen.name == "block" and written:
        return written
    if not part.chords:
        return written
    start = song.part_onsets[number - 1]
    bars = song.bars
    reach = song.hands.left_reach
    notes: list[Note] = []
    for chord, voicing in zip(part.chords, voicings(song, number), strict=True):
        if not chord.symbol.is_silent:
            notes.extend(chosen.play(Placed(chord, voicing, bars, start, reach)))
    return in_order(notes)

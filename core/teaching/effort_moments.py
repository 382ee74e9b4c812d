"""The moments at which each hand strikes, and what each asks of the hand.

Notes that begin within a twentieth of a quarter of one another are struck together: a rolled chord and the
small scatter of a played file are one moment. Measures of a moment look back only, so that every window of a
passage can share them.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from core.song.metre import Bar
from core.song.note import Hand
from core.song.time import TICKS_PER_QUARTER

TOGETHER: Final = TICKS_PER_QUARTER // 20
"""Onsets nearer than this many ticks are one moment."""
FRAME: Final = 7
"""Semitones that a hand covers without moving: five fingers on five white keys (common practice)."""
RANGE_TIME: Final = 3 * TICKS_PER_QUARTER
"""Over how long a time the range of a hand is taken."""
BLACK: Final = frozenset({1, 3, 6, 8, 10})
"""Pitch classes of the black keys."""
OCTAVE: Final = 12
BLACK_SCALE: Final = sum(1 << key for key in BLACK)
"""The same, C as bit 0."""


def blacks_after(semitones: int) -> int:
    """Which of the twelve notes lie on black keys once they are moved up by so many semitones, C as bit 0."""
    return sum(1 << (key - semitones) % OCTAVE for key in BLACK)


class PlayedNote(Struct, frozen=True):
    """A note as a hand plays it.

    Attributes:
        onset: ticks.
        duration: ticks, 0 for a grace note.
        midi: MIDI number, 0..127.
        hand: the hand that plays it.
    """

    onset: int
    duration: int
    midi: int
    hand: Hand


class Moment(Struct, frozen=True):
    """Notes that one hand strikes together.

    Attributes:
        onset: tick of the first of them.
        end: tick at which the last of them stops.
        keys: MIDI numbers struck, low to high; grace notes are not among them unless they stand alone.
        notes: how many notes are struck, grace notes counted.
        span: semitones from the lowest to the highest key under the hand, held ones included.
        held: how many keys are down at once, held ones included.
        covered: semitones between the lowest and highest key struck within `RANGE_TIME` up to here.
        shift: semitones by which the five-finger frame moves to reach the moment, up positive; 0 where it stays.
        leap: semitones between the middle of the moment before and of this one.
        blacks: black keys struck.
        scale: which of the twelve notes are struck, C as bit 0.
        scale_before: the same of the hand's moment before, 0 where there is none.
        beat: tick of the beat that it lies on or after.
        off_beat: whether it lies between the beats.
        carried: whether it lies between the beats and is held over the next one.
    """

    onset: int
    end: int
    keys: tuple[int, ...]
    notes: int
    span: int
    held: int
    covered: int
    shift: int
    leap: float
    blacks: int
    scale: int
    scale_before: int
    beat: int
    off_beat: bool
    carried: bool

    def strikes_black(self, blacks: int = BLACK_SCALE) -> bool:
        """Whether a black key is struck, where these of the twelve notes are black."""
        return self.scale & blacks != 0

    def recoloured(self, blacks: int = BLACK_SCALE) -> bool:
        """Whether the hand changes between white and black keys against the moment before."""
        before, here = self.scale_before, self.scale
        return before != 0 and (
            (before & blacks == 0) != (here & blacks == 0) or (before & ~blacks == 0) != (here & ~blacks == 0)
        )


class HandMoments(Struct, frozen=True):
    """A hand's moments in order, with their onsets apart for searching."""

    moments: tuple[Moment, ...]
    onsets: tuple[int, ...]

    @classmethod
    def of(cls, notes: Sequence[PlayedNote], bars: Sequence[Bar]) -> HandMoments:
        """The moments of one hand's notes, which may come in any order."""
        moments = tuple(_moments(_struck_together(notes), bars))
        return cls(moments, tuple(moment.onset for moment in moments))


def _struck_together(notes: Sequence[PlayedNote]) -> list[list[PlayedNote]]:
    groups: list[list[PlayedNote]] = []
    for note in sorted(notes, key=lambda note: (note.onset, note.midi)):
        if groups and note.onset - groups[-1][0].onset < TOGETHER:
            groups[-1].append(note)
        else:
            groups.append([note])
    return groups


def _moments(groups: Sequence[Sequence[PlayedNote]], bars: Sequence[Bar]) -> list[Moment]:
    moments: list[Moment] = []
    held: list[tuple[int, int]] = []
    low = high = 0
    bar_index = 0
    for group in groups:
        onset = group[0].onset
        sounding = [note for note in group if note.duration] or list(group)
        keys = tuple(sorted({note.midi for note in sounding}))
        end = max(note.onset + note.duration for note in sounding)
        held = [(stop, key) for stop, key in held if stop - onset >= TOGETHER and key not in keys]
        under = [key for _, key in held] + list(keys)
        while bar_index + 1 < len(bars) and bars[bar_index].end <= onset:
            bar_index += 1
        beat, next_beat, off_beat = _beat(bars[bar_index], onset)
        shift = 0
        if not moments:
            low, high = keys[0], keys[-1]
        elif max(high, keys[-1]) - min(low, keys[0]) <= FRAME:
            low, high = min(low, keys[0]), max(high, keys[-1])
        else:
            shift = keys[-1] - high if keys[-1] > high else keys[0] - low if keys[0] < low else 0
            low, high = keys[0], keys[-1]
        before = moments[-1] if moments else None
        moments.append(
            Moment(
                onset,
                end,
                keys,
                len(group),
                max(under) - min(under),
                len(under),
                _covered(moments, onset, keys),
                shift,
                (keys[0] + keys[-1] - before.keys[0] - before.keys[-1]) / 2 if before else 0.0,
                sum(key % 12 in BLACK for key in keys),
                _scale(keys),
                before.scale if before else 0,
                beat,
                off_beat,
                off_beat and end - next_beat >= TOGETHER,
            )
        )
        held.extend((note.onset + note.duration, note.midi) for note in sounding)
    return moments


def _beat(bar: Bar, onset: int) -> tuple[int, int, bool]:
    """The beat that a moment lies on or after, the first beat after it, and whether it lies between the two.

    Beats are counted back from the end of a bar that is cut short before its first beat (a pick-up).
    """
    beat = bar.metre.beat_ticks
    origin = bar.end if bar.number == 0 else bar.onset
    into = (onset - origin) % beat
    if beat - into < TOGETHER:
        into -= beat
    return onset - into, onset - into + beat, into >= TOGETHER


def _covered(moments: Sequence[Moment], onset: int, keys: tuple[int, ...]) -> int:
    low, high = keys[0], keys[-1]
    for earlier in reversed(moments):
        if onset - earlier.onset > RANGE_TIME:
            break
        low, high = min(low, earlier.keys[0]), max(high, earlier.keys[-1])
    return high - low


def _scale(keys: tuple[int, ...]) -> int:
    scale = 0
    for key in keys:
        scale |= 1 << key % OCTAVE
    return scale


class JointMoment(Struct, frozen=True):
    """A moment at which either hand strikes.

    Attributes:
        onset: tick.
        right: the right hand's moment, or None where it does not strike.
        left: the left hand's.
        state: what lies under both hands here, struck or held, as something that can be compared.
        over_held: whether one hand strikes while the other holds a note struck before.
        motion: −1 where the hands strike together and move in contrary directions, 1 where they move in the same,
            0 where one of them stays, None where they do not strike together or have not before.
    """

    onset: int
    right: Moment | None
    left: Moment | None
    state: tuple[tuple[int, ...], tuple[int, ...]]
    over_held: bool
    motion: int | None


class JointMoments(Struct, frozen=True):
    """The moments of both hands together, in order."""

    moments: tuple[JointMoment, ...]
    onsets: tuple[int, ...]

    @classmethod
    def of(cls, right: HandMoments, left: HandMoments) -> JointMoments:
        """Both hands' moments laid over one another."""
        joint: list[JointMoment] = []
        last_right: Moment | None = None
        last_left: Moment | None = None
        rights, lefts = iter(right.moments), iter(left.moments)
        here_right, here_left = next(rights, None), next(lefts, None)
        while here_right is not None or here_left is not None:
            onset = min(moment.onset for moment in (here_right, here_left) if moment is not None)
            striking_right = here_right if here_right is not None and here_right.onset - onset < TOGETHER else None
            striking_left = here_left if here_left is not None and here_left.onset - onset < TOGETHER else None
            joint.append(_joint(onset, striking_right, striking_left, last_right, last_left))
            if striking_right is not None:
                last_right, here_right = striking_right, next(rights, None)
            if striking_left is not None:
                last_left, here_left = striking_left, next(lefts, None)
        return cls(tuple(joint), tuple(moment.onset for moment in joint))


def _joint(
    onset: int, right: Moment | None, left: Moment | None, last_right: Moment | None, last_left: Moment | None
) -> JointMoment:
    motion: int | None = None
    over_held = False
    if right is not None and left is not None:
        if last_right is not None and last_left is not None:
            motion = _direction(last_right.keys[-1], right.keys[-1]) * _direction(last_left.keys[0], left.keys[0])
    else:
        resting = last_left if left is None else last_right
        over_held = resting is not None and resting.end - onset >= TOGETHER
    state = (_under(right, last_right, onset), _under(left, last_left, onset))
    return JointMoment(onset, right, left, state, over_held, motion)


def _under(struck: Moment | None, last: Moment | None, onset: int) -> tuple[int, ...]:
    """The keys that a hand strikes, or else still holds."""
    if struck is not None:
        return struck.keys
    return last.keys if last is not None and last.end - onset >= TOGETHER else ()


def _direction(before: int, after: int) -> int:
    return (after > before) - (after < before)

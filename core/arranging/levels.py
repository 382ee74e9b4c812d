"""One step easier or harder at a time: a ladder from a melody over one bass note to a full arrangement.

Every way to play the left hand and everything that can lie under the melody is tried, and its effort measured. From
these the steps are chosen so that the effort rises, as evenly as what there is allows; nothing is stored, and the
lowest step is always the plainest.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from core.arranging.left_hand import left_hand, pattern_in
from core.arranging.right_hand import NONE, harmony_named, right_hand
from core.song.note import Hand
from core.song.song import Song
from core.song.wording import say
from core.teaching.effort import PlayedNote, effort_of

PLAINEST: Final = "bass_note"
LEFT_STEPS: Final = (
    PLAINEST,
    "block",
    "held_fifth",
    "block_beats",
    "broken",
    "octaves",
    "root_fifth_octave",
    "low_high_middle_high",
    "bass_chords",
    "octave_chord",
    "tenth",
)
RIGHT_STEPS: Final = (NONE, "landings", "long_notes", "thirds", "sixths", "filled_octaves")
FULL_PAIRS: Final = (
    ("block", "landings"),
    ("block_beats", "landings"),
    ("broken", "landings"),
    ("root_fifth_octave", "landings"),
    ("root_fifth_octave", "thirds"),
    ("bass_chords", "long_notes"),
    ("bass_chords", "sixths"),
    ("octave_chord", "thirds"),
    ("octave_chord", "filled_octaves"),
)
"""Ways to make both hands richer at once; what one hand does alone is among the steps anyway."""
STEPS: Final = 6
SMALLEST_RISE: Final = 0.5
"""Points of effort that a step rises at least."""


class Level(Struct, frozen=True):
    """A step of a ladder.

    Attributes:
        pattern: name of the left hand's pattern.
        harmony: name of what lies under the melody.
        title: both in words.
        effort: 0 … 100.
    """

    pattern: str
    harmony: str
    title: str
    effort: float


def ladder(song: Song, number: int | None = None, hand: Hand | None = None, steps: int = STEPS) -> tuple[Level, ...]:
    """The steps from the plainest version up, each harder than the one before.

    Args:
        song: the song.
        number: a part's number, or None for the whole song.
        hand: the hand that changes while the other stays plain, or None for both.
        steps: how many at most, two or more; fewer where there are not so many that differ.
    """
    wanted = {
        Hand.LEFT: [(pattern, NONE) for pattern in LEFT_STEPS],
        Hand.RIGHT: [(PLAINEST, harmony) for harmony in RIGHT_STEPS],
    }
    both = [*wanted[Hand.LEFT], *((PLAINEST, harmony) for harmony in RIGHT_STEPS[1:]), *FULL_PAIRS]
    measured = _measured(song, number, both if hand is None else wanted[hand])
    return _even(measured[0], measured[1:], steps)


def neighbours(song: Song, number: int) -> tuple[Level | None, Level | None]:
    """The next easier and the next harder step of a part from what it plays now; None where there is none."""
    teaching = song.part(number).teaching
    (now,) = _measured(song, number, [(teaching.pattern, teaching.harmony)])
    levels = ladder(song, number)
    easier = [level for level in levels if level.effort < now.effort - SMALLEST_RISE / 2]
    harder = [level for level in levels if level.effort > now.effort + SMALLEST_RISE / 2]
    return (easier[-1] if easier else None, harder[0] if harder else None)


def _measured(song: Song, number: int | None, ways: Sequence[tuple[str, str]]) -> list[Level]:
    numbers = range(1, len(song.parts) + 1) if number is None else (number,)
    start = song.part_onsets[numbers[0] - 1]
    end = song.part_onsets[numbers[-1] - 1] + song.part(numbers[-1]).duration
    bars = [bar for bar in song.bars if bar.end > start and bar.onset < end]
    tempo = song.tempo_at(start)

    def effort(pattern: str, harmony: str) -> float:
        return effort_of(_played(song, numbers, pattern, harmony), tempo, bars).total

    return [Level(*way, _title(song, *way), effort(*way)) for way in ways]


def _played(song: Song, numbers: Sequence[int], pattern: str, harmony: str) -> list[PlayedNote]:
    notes: list[PlayedNote] = []
    for number in numbers:
        start = song.part_onsets[number - 1]
        left = left_hand(song, number, pattern)
        notes.extend(
            PlayedNote(start + note.onset, note.duration, note.pitch.midi, note.hand)
            for note in (*right_hand(song, number, harmony, left), *left)
        )
    return sorted(notes, key=lambda note: (note.onset, note.midi))


def _title(song: Song, pattern: str, harmony: str) -> str:
    left = pattern_in(song, pattern).title
    if harmony == NONE:
        return left
    return say("{pattern}; right hand: {harmony}", pattern=left, harmony=harmony_named(harmony).title)


def _even(plainest: Level, others: Sequence[Level], steps: int) -> tuple[Level, ...]:
    """A rising choice with the smallest squares of its rises, which is the most even one.

    Exact, by dynamic programming over the ways in order of effort: of all choices of so many steps that begin with
    the plainest way and end with the hardest.
    """
    above = sorted(
        (level for level in others if level.effort >= plainest.effort + SMALLEST_RISE), key=lambda level: level.effort
    )
    ways = [plainest]
    for level in sorted(above, key=lambda level: level.effort):
        if level.effort >= ways[-1].effort + SMALLEST_RISE / 2:
            ways.append(level)
    if len(ways) == 1:
        return (plainest,)
    best: list[dict[int, tuple[float, tuple[int, ...]]]] = [{1: (0.0, (0,))}]
    for place in range(1, len(ways)):
        here: dict[int, tuple[float, tuple[int, ...]]] = {}
        for before in range(place):
            rise = ways[place].effort - ways[before].effort
            if rise < SMALLEST_RISE:
                continue
            for count, (cost, path) in best[before].items():
                total = cost + rise * rise
                if count < steps and (count + 1 not in here or total < here[count + 1][0]):
                    here[count + 1] = (total, (*path, place))
        best.append(here)
    most = max(best[-1])
    return tuple(ways[place] for place in best[-1][most][1])

"""Following a player: each key as it comes, matched to the notes that are meant.

A key is *right* where a note on it is meant within `MATCHED_SECONDS`; it is *early* or *late* where it is more than
`IN_TIME_SECONDS` away from its moment, and *wrong* where no note on it is meant. A note whose moment is more than
`MATCHED_SECONDS` past is *missed*. Hands are *apart* where two notes meant together, one for each hand, are both
played and more than `TOGETHER_SECONDS` lie between them. Figures: notes that pianists mean to be together lie up to
about 30 ms apart (Goebl 2001, from memory), and 100 ms is a sixteenth at 150 beats a minute.

All seconds are those of the schedule; whoever calls knows where in it the player is.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, Literal

from msgspec import Struct

from core.song.note import Hand

MATCHED_SECONDS: Final = 0.35
IN_TIME_SECONDS: Final = 0.1
TOGETHER_SECONDS: Final = 0.08
SAME_MOMENT: Final = 0.02
"""Seconds within which meant notes count as one moment."""

Verdict = Literal["right", "early", "late", "wrong", "missed", "apart"]


class Meant(Struct, frozen=True):
    """A note that the player is to play.

    Attributes:
        seconds: its moment.
        midi: its key.
        hand: the hand that plays it.
    """

    seconds: float
    midi: int
    hand: Hand


class Judged(Struct, frozen=True):
    """What became of a key or of a meant note.

    Attributes:
        verdict: see above.
        midi: the key.
        note: which of the meant notes, counted from 0; None for a wrong key.
        late: seconds after its moment, negative before it; for hands apart, between the two; else 0.
    """

    verdict: Verdict
    midi: int
    note: int | None = None
    late: float = 0.0


class Follower:
    """Judges what is played.

    Args:
        meant: the notes, in any order; they are numbered in order of time, then of key.
    """

    def __init__(self, meant: Iterable[Meant]) -> None:
        self.meant = tuple(sorted(meant, key=lambda note: (note.seconds, note.midi)))
        self._open: dict[int, Meant] = dict(enumerate(self.meant))
        self._played: dict[int, float] = {}

    def start_at(self, seconds: float) -> None:
        """Begin from a moment: what is meant from there on is to be played, what lies before it is not."""
        self._open = {n: note for n, note in enumerate(self.meant) if note.seconds >= seconds - SAME_MOMENT}
        self._played = {}

    def press(
        self, midi: int, seconds: float, *, waited: bool = False, reach: float = MATCHED_SECONDS
    ) -> tuple[Judged, ...]:
        """A key that goes down at a moment; where the music waited for it, it is neither early nor late.

        Args:
            midi: the key.
            seconds: the moment.
            waited: whether the music waited for it.
            reach: how many seconds away a note may be meant.
        """
        near = [
            (abs(note.seconds - seconds), number)
            for number, note in self._open.items()
            if note.midi == midi and abs(note.seconds - seconds) <= reach
        ]
        if not near:
            return (Judged("wrong", midi),)
        number = min(near)[1]
        note = self._open.pop(number)
        late = 0.0 if waited else seconds - note.seconds
        verdict: Verdict = "right"
        if abs(late) > IN_TIME_SECONDS:
            verdict = "late" if late > 0 else "early"
        judged = [Judged(verdict, midi, number, late)]
        apart = None if waited else self._other_hand(number, note, seconds)
        self._played[number] = seconds
        if apart is not None and abs(apart) > TOGETHER_SECONDS:
            judged.append(Judged("apart", midi, number, apart))
        return tuple(judged)

    def pass_by(self, seconds: float) -> tuple[Judged, ...]:
        """The notes that are missed now that a moment has come, in order."""
        missed = [number for number, note in self._open.items() if seconds - note.seconds > MATCHED_SECONDS]
        return tuple(Judged("missed", self._open.pop(number).midi, number) for number in sorted(missed))

    def end_at(self, seconds: float) -> tuple[Judged, ...]:
        """The notes before a moment that are missed now that playing has come to an end, or to a loop's, there."""
        missed = [number for number, note in self._open.items() if note.seconds < seconds]
        return tuple(Judged("missed", self._open.pop(number).midi, number) for number in sorted(missed))

    def means(self, midi: int, seconds: float) -> bool:
        """Whether a note on a key is meant near a moment, be it still to be played or not."""
        return any(note.midi == midi and abs(note.seconds - seconds) <= MATCHED_SECONDS for note in self.meant)

    def next_moment(self) -> float | None:
        """When the next note is meant that has not been played; None after the last."""
        return min((note.seconds for note in self._open.values()), default=None)

    def _other_hand(self, number: int, note: Meant, seconds: float) -> float | None:
        """Seconds since the first note of the other hand at the same moment, if it has been played."""
        others = [
            played
            for other, played in self._played.items()
            if self.meant[other].hand is not note.hand
            and abs(self.meant[other].seconds - note.seconds) <= SAME_MOMENT
            and other != number
        ]
        return seconds - min(others) if others else None

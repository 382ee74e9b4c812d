"""How a melody goes from note to note: the same key again, a step, a leap, back to where it was."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from core.song.note import Note
from core.teaching.spoken_intervals import SpokenInterval

SAME: Final = "same"
STEP: Final = "step"
LEAP: Final = "leap"
TO_AND_FRO: Final = "to_and_fro"


class Move(Struct, frozen=True):
    """How a note is reached from the one before.

    Attributes:
        kind: `SAME`, `STEP`, `LEAP`, or `TO_AND_FRO` back to the note before the last one.
        direction: −1 down, 0, +1 up.
        interval: how far; None for the same key.
    """

    kind: str
    direction: int
    interval: SpokenInterval | None = None

    def joins(self, before: Move | None) -> bool:
        """Whether this move goes on with the one before, so that both are said in one go."""
        if before is None or self.kind != before.kind:
            return False
        return self.kind == TO_AND_FRO or (self.direction, self.interval) == (before.direction, before.interval)


def moves(notes: Sequence[Note]) -> list[Move | None]:
    """How each note of a line is reached; None for the first."""
    return [
        None if not place else _move(notes[place - 2] if place > 1 else None, notes[place - 1], note)
        for place, note in enumerate(notes)
    ]


def _move(last_but_one: Note | None, before: Note, note: Note) -> Move:
    semitones = note.pitch.midi - before.pitch.midi
    steps = abs(note.pitch.staff_step - before.pitch.staff_step)
    direction = (semitones > 0) - (semitones < 0)
    if not direction:
        return Move(SAME, 0)
    interval = SpokenInterval.between(steps, abs(semitones))
    if last_but_one is not None and last_but_one.pitch == note.pitch:
        return Move(TO_AND_FRO, direction, interval)
    return Move(STEP if interval.is_step else LEAP, direction, interval)

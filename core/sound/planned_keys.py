"""Keys and pedal placed by frame: what is told to happen is kept until the frame comes at which it does."""

from __future__ import annotations

from abc import ABC, abstractmethod
from bisect import insort
from collections.abc import Callable, Iterator
from typing import Final

LOUDEST: Final = 127
"""The highest velocity of MIDI 1.0."""


class PlannedKeys(ABC):
    """Plans what happens to keys and pedal; whoever sounds them says what that is."""

    def __init__(self) -> None:
        self._planned: list[tuple[int, int, Callable[[], None]]] = []
        self._count = 0

    @property
    @abstractmethod
    def frame(self) -> int:
        """The frame that is rendered next."""

    def note_on(self, midi: int, velocity: int, at_frame: int = 0) -> None:
        """Strike a key; velocity 0 lets it go, as in MIDI."""
        if velocity <= 0:
            self.note_off(midi, at_frame)
        else:
            self.plan(at_frame, lambda: self._strike(midi, min(velocity, LOUDEST)))

    def note_off(self, midi: int, at_frame: int = 0) -> None:
        """Let a key go; with the pedal down it sounds on."""
        self.plan(at_frame, lambda: self._let_go(midi))

    def pedal(self, down: bool, at_frame: int = 0) -> None:
        """Press or lift the sustain pedal."""
        self.plan(at_frame, lambda: self._set_pedal(down))

    def plan(self, frame: int, act: Callable[[], None]) -> None:
        """Let something happen at a frame, behind what was planned for it before; at once where it has passed."""
        self._count += 1
        insort(self._planned, (max(frame, self.frame), self._count, act))

    def _stretches(self, frames: int) -> Iterator[tuple[int, int]]:
        """The next frames in stretches in which nothing is planned, from each one's first to past its last.

        What is planned happens between them.
        """
        first, done = self.frame, 0
        while done < frames:
            while self._planned and self._planned[0][0] <= first + done:
                self._planned.pop(0)[2]()
            until = min(frames, self._planned[0][0] - first) if self._planned else frames
            yield done, until
            done = until

    @abstractmethod
    def _strike(self, midi: int, velocity: int) -> None: ...

    @abstractmethod
    def _let_go(self, midi: int) -> None: ...

    @abstractmethod
    def _set_pedal(self, down: bool) -> None: ...

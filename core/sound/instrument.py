"""What sounds in the program itself: the built-in piano, or what a user has put in its place."""

from __future__ import annotations

from typing import Protocol

import numpy as np
from numpy.typing import NDArray


class Instrument(Protocol):
    """Keys, pedal and metronome, each placed by frame, rendered block by block."""

    @property
    def sample_rate(self) -> int:
        """Frames a second."""

    @property
    def frame(self) -> int:
        """The frame that is rendered next."""

    @property
    def busy(self) -> bool:
        """Whether anything sounds or is still to happen."""

    def note_on(self, midi: int, velocity: int, at_frame: int = 0) -> None:
        """Strike a key; velocity 0 lets it go."""

    def note_off(self, midi: int, at_frame: int = 0) -> None:
        """Let a key go."""

    def pedal(self, down: bool, at_frame: int = 0) -> None:
        """Press or lift the sustain pedal."""

    def click(self, accented: bool, velocity: int, at_frame: int = 0) -> None:
        """Click the metronome."""

    def all_off(self) -> None:
        """Silence everything from the next frame on, without a click, and forget what was planned."""

    def render(self, frames: int) -> NDArray[np.float32]:
        """The next frames: shape (frames, 2), never past ±1."""

"""What sounds in the program itself: the built-in piano, or what a user has put in its place."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from core.performance.schedule import CLICK_ACCENTED, Schedule


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


def instrument_blocks(schedule: Schedule, instrument: Instrument, block: int) -> Iterator[NDArray[np.float32]]:
    """A schedule as sound, so many frames at a time, until the last note has died away."""
    start = instrument.frame
    for event in schedule.events:
        frame = start + round(event.seconds * instrument.sample_rate)
        if event.kind == "on":
            instrument.note_on(event.midi, event.velocity, frame)
        elif event.kind == "off":
            instrument.note_off(event.midi, frame)
        elif event.kind == "pedal":
            instrument.pedal(event.velocity > 0, frame)
        else:
            instrument.click(event.midi == CLICK_ACCENTED, event.velocity, frame)
    last = start + round(schedule.length * instrument.sample_rate)
    while instrument.frame < last or instrument.busy:
        yield instrument.render(block)

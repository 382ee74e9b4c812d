"""A user's own SoundFont in place of the built-in piano, through the optional library tinysoundfont."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.song.errors import DeviceError
from core.song.wording import say
from core.sound.piano import Piano, bent
from core.sound.planned_keys import PlannedKeys

GAIN_DB: Final = -12.0
"""A moderate level to begin with: files are made as loud as they can be."""
QUIET: Final = 1e-5
"""A sound below this peak, with no key held, has died away."""
CHANNEL: Final = 0
PRESETS: Final = 128
BANKS: Final = 129
"""The last of them is for percussion (SoundFont 2.04, section 7.2)."""


class SoundFont(PlannedKeys):
    """Sounds keys and pedal from a SoundFont, and clicks from the built-in piano, whose frames it counts.

    It is an `core.sound.instrument.Instrument`; everything is placed by frame.

    Args:
        path: the file.
        piano: the built-in piano; what still sounds there dies away.

    Raises:
        DeviceError: the library is not installed, or the file is missing, damaged or empty.
    """

    def __init__(self, path: Path, piano: Piano) -> None:
        try:
            from tinysoundfont import Synth
        except ImportError as error:
            raise DeviceError(
                say('SoundFonts need a library that is not installed: pip install "phrasebench[soundfont]" brings it.')
            ) from error
        super().__init__()
        self._piano = piano
        self._synth = Synth(GAIN_DB, piano.sample_rate)
        try:
            font = self._synth.sfload(path.read_bytes())
        except OSError as error:
            raise DeviceError(say("The SoundFont {path} cannot be read; choose it again.", path=path)) from error
        except RuntimeError as error:
            raise DeviceError(say("{path} is no SoundFont, or it is damaged; choose another.", path=path)) from error
        self._synth.program_select(CHANNEL, font, *self._first_preset(path, font))
        self._held: set[int] = set()
        self._sustained: set[int] = set()
        self._pedal_down = False
        self._sounds = False

    @property
    def sample_rate(self) -> int:
        """Frames a second."""
        return self._piano.sample_rate

    @property
    def frame(self) -> int:
        """The frame that is rendered next."""
        return self._piano.frame

    @property
    def busy(self) -> bool:
        """Whether anything sounds or is still to happen."""
        return bool(self._planned or self._held or self._sustained or self._sounds or self._piano.busy)

    def click(self, accented: bool, velocity: int, at_frame: int = 0) -> None:
        """Click the metronome."""
        self._piano.click(accented, velocity, at_frame)

    def all_off(self) -> None:
        """Silence everything from the next frame on, and forget what was planned."""
        self._planned.clear()
        self._held.clear()
        self._sustained.clear()
        self._pedal_down = False
        self._synth.sounds_off()
        self._piano.all_off()

    def render(self, frames: int) -> NDArray[np.float32]:
        """The next frames: shape (frames, 2), never past ±1."""
        sound = np.zeros((frames, 2), dtype=np.float32)
        for done, until in self._stretches(frames):
            made = self._synth.generate_simple(until - done)
            sound[done:until] = np.frombuffer(made, dtype=np.float32).reshape(-1, 2)
        self._sounds = bool(np.abs(sound).max(initial=0.0) > QUIET)
        return bent(sound + self._piano.render(frames))

    def _first_preset(self, path: Path, font: int) -> tuple[int, int]:
        """The bank and number of the first sound there is: the one at 0 need not exist, and would be silent."""
        for bank in range(BANKS):
            for preset in range(PRESETS):
                if self._synth.sfpreset_name(font, bank, preset) is not None:
                    return bank, preset
        raise DeviceError(say("The SoundFont {path} holds no sounds; choose another.", path=path))

    def _strike(self, midi: int, velocity: int) -> None:
        if midi in self._held or midi in self._sustained:
            self._synth.noteoff(CHANNEL, midi)
        self._sustained.discard(midi)
        self._held.add(midi)
        self._synth.noteon(CHANNEL, midi, velocity)

    def _let_go(self, midi: int) -> None:
        if midi not in self._held:
            return
        self._held.discard(midi)
        if self._pedal_down:
            self._sustained.add(midi)
        else:
            self._synth.noteoff(CHANNEL, midi)

    def _set_pedal(self, down: bool) -> None:
        self._pedal_down = down
        if not down:
            for midi in sorted(self._sustained):
                self._synth.noteoff(CHANNEL, midi)
            self._sustained.clear()

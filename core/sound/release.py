"""The small noise of a key let go: the damper falling on its strings."""

from __future__ import annotations

from functools import cache
from typing import Final

import numpy as np

from core.sound.bank import FULL_SCALE, Pcm

LENGTH: Final = 0.12
DECAY: Final = 0.025
RISE: Final = 0.008
LOW_HERTZ: Final = 350.0
"""Felt and wood: little is left of the noise above this."""


@cache
def release_sound(rate: int) -> Pcm:
    """The noise: shape (frames, 2), peak near full scale; the same every time."""
    frames = int(LENGTH * rate)
    time = np.arange(frames) / rate
    spectrum = np.fft.rfft(np.random.default_rng(1).normal(size=(frames, 2)), axis=0)
    hertz = np.fft.rfftfreq(frames, 1 / rate)
    spectrum *= (1 / (1 + (hertz / LOW_HERTZ) ** 2) * (hertz / (hertz + 60.0)))[:, None]
    noise = np.fft.irfft(spectrum, frames, axis=0)
    shape = np.exp(-time / DECAY) * np.minimum(1.0, time / RISE) * np.minimum(1.0, (LENGTH - time) / 0.02)
    noise *= shape[:, None]
    noise *= 0.9 / np.abs(noise).max()
    return np.rint(noise * FULL_SCALE).astype(np.int16)

"""The metronome's click: a small wooden knock, higher where it is accented."""

from __future__ import annotations

from functools import cache
from typing import Final

import numpy as np

from core.sound.bank import FULL_SCALE, Pcm

ACCENTED_HERTZ: Final = 1760.0
PLAIN_HERTZ: Final = 1320.0
OVERTONE: Final = 2.76
"""Ratio of the second mode of a free bar to its first (from memory)."""
LENGTH: Final = 0.09
DECAY: Final = 0.012
ATTACK: Final = 0.0008


@cache
def click_sound(accented: bool, rate: int) -> Pcm:
    """A click: shape (frames, 2), both channels alike, peak near full scale."""
    time = np.arange(int(LENGTH * rate)) / rate
    hertz = ACCENTED_HERTZ if accented else PLAIN_HERTZ
    knock = np.sin(2 * np.pi * hertz * time) + 0.35 * np.sin(2 * np.pi * OVERTONE * hertz * time) * np.exp(
        -time / 0.004
    )
    knock *= np.exp(-time / DECAY) * np.minimum(1.0, time / ATTACK) * np.minimum(1.0, (LENGTH - time) / 0.01)
    knock *= 0.9 / np.abs(knock).max()
    return np.repeat(np.rint(knock * FULL_SCALE)[:, None], 2, axis=1).astype(np.int16)

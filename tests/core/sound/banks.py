"""Small banks of plain sounds, quick to make, in place of the piano's samples."""

from __future__ import annotations

import json

import numpy as np

from core.sound.bank import Pcm, SampleBank
from core.sound.piano_model import RATE, frequency

ROOTS = (48, 60, 72)


def sine_bank(seconds: float = 1.0, listing: bytes | None = None) -> SampleBank:
    """Three roots, two layers each: a soft pure tone, and a hard one with its octave; both decay."""
    samples = [
        {"key": key, "velocity": velocity, "file": f"{key}_{velocity}", "gain": 2.0}
        for key in ROOTS
        for velocity in (40, 112)
    ]

    def decode(name: str) -> Pcm:
        key, velocity = (int(figure) for figure in name.split("_"))
        time = np.arange(int(seconds * RATE)) / RATE
        tone = np.sin(2 * np.pi * frequency(key) * time)
        if velocity > 80:
            tone = 0.7 * tone + 0.3 * np.sin(4 * np.pi * frequency(key) * time)
        tone *= np.exp(-2 * time) * np.minimum(1, time / 0.005) * np.minimum(1, (seconds - time) / 0.05)
        return np.repeat(np.rint(tone[:, None] * 30_000), 2, axis=1).astype(np.int16)

    return SampleBank(listing or json.dumps({"rate": RATE, "samples": samples}), decode)

"""The sound card: what the engine asks of it, and miniaudio behind that."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Generator
from typing import Final, Protocol

import miniaudio
import numpy as np
from numpy.typing import NDArray

from core.song.errors import DeviceError
from core.song.wording import say
from core.sound.piano_model import RATE

PERIOD_MILLISECONDS: Final = 10
PERIODS: Final = 4
"""Four periods of ten milliseconds are queued: a busy thread may hold the callback up for as long as that."""
QUICK_PERIOD_MILLISECONDS: Final = 5
QUICK_PERIODS: Final = 2
"""For a keyboard that is heard through the built-in piano: ten milliseconds, at the risk of a crackle."""
ASKED_FOR_NULL: Final = "PHRASEBENCH_SOUND"
"""With ``null`` in this variable of the environment sound goes nowhere, in real time: for tests."""
SILENT_SECONDS: Final = 0.5
"""A card that has not asked for sound for so long has gone."""

Fill = Callable[[int], NDArray[np.float32]]
"""Called with a number of frames in the card's own thread; returns as many, shape (frames, 2)."""


class OpenCard(Protocol):
    """A sound card that plays."""

    @property
    def queued_seconds(self) -> float:
        """How long after it was asked for sound is heard."""

    @property
    def answers(self) -> bool:
        """Whether it still asks for sound."""

    def close(self) -> None:
        """Fall silent and let the card go."""


class SoundCard(Protocol):
    """The machine's way to be heard."""

    def open(self, fill: Fill, *, quick: bool = False) -> OpenCard:
        """Begin to play, with little queued where `quick`; raises DeviceError where no sound card answers."""


class MiniaudioCard:
    """The machine's usual sound card, through miniaudio."""

    def open(self, fill: Fill, *, quick: bool = False) -> OpenCard:
        """Begin to play, with little queued where `quick`; raises DeviceError where no sound card answers."""
        return _Playing(fill, quick)


class _Playing:
    def __init__(self, fill: Fill, quick: bool) -> None:
        self._fill = fill
        period = QUICK_PERIOD_MILLISECONDS if quick else PERIOD_MILLISECONDS
        periods = QUICK_PERIODS if quick else PERIODS
        self.queued_seconds = period * periods / 1000
        self._asked = time.monotonic()
        try:
            self._device = miniaudio.PlaybackDevice(
                output_format=miniaudio.SampleFormat.FLOAT32,
                nchannels=2,
                sample_rate=RATE,
                buffersize_msec=period,
                callback_periods=periods,
                backends=_backends(),
                app_name="Phrasebench",
            )
            sound = self._sound()
            next(sound)
            self._device.start(sound)
        except miniaudio.MiniaudioError as error:
            raise DeviceError(
                say("No sound card answers, so the built-in piano is not heard; everything else works.")
            ) from error

    @property
    def answers(self) -> bool:
        return time.monotonic() - self._asked < SILENT_SECONDS

    def close(self) -> None:
        self._device.close()

    def _sound(self) -> Generator[NDArray[np.float32], int, None]:
        frames = yield np.zeros((0, 2), dtype=np.float32)
        while True:
            self._asked = time.monotonic()
            try:
                block = self._fill(frames)
            except Exception:  # an exception that left here would end the sound for good and say nothing
                block = np.zeros((frames, 2), dtype=np.float32)
            frames = yield block


def _backends() -> list[miniaudio.Backend]:
    """Ways to be heard in the order to try them; the one that goes nowhere only where it is asked for."""
    if os.environ.get(ASKED_FOR_NULL) == "null":
        return [miniaudio.Backend.NULL]
    away = (miniaudio.Backend.NULL, miniaudio.Backend.CUSTOM)
    last = (miniaudio.Backend.OSS,)
    enabled = sorted(miniaudio.get_enabled_backends(), key=lambda backend: (backend in last, backend.value))
    return [backend for backend in enabled if backend not in away]

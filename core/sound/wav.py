"""Sound as a WAV file: RIFF with linear 16-bit samples (the multimedia interface document of 1991, from memory)."""

from __future__ import annotations

import struct
from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.song.errors import DomainError
from core.song.wording import say

HEADER_BYTES: Final = 44
LARGEST_DATA: Final = 2**32 - HEADER_BYTES
PLAIN_SAMPLES: Final = 1
"""The format tag of linear PCM."""
BYTES_A_SAMPLE: Final = 2


def wav_header(frames: int, channels: int, rate: int) -> bytes:
    """The head of a WAV file of so many frames; raises DomainError for more than the format can count."""
    size = frames * channels * BYTES_A_SAMPLE
    if not 0 <= size <= LARGEST_DATA:
        raise DomainError(say("the length of a WAV file"), frames, say("short enough for 4 GB of samples"))
    frame = channels * BYTES_A_SAMPLE
    form = struct.pack(
        "<4sIHHIIHH", b"fmt ", 16, PLAIN_SAMPLES, channels, rate, rate * frame, frame, 8 * BYTES_A_SAMPLE
    )
    return struct.pack("<4sI4s", b"RIFF", size + HEADER_BYTES - 8, b"WAVE") + form + struct.pack("<4sI", b"data", size)


def whole_samples(samples: NDArray[np.floating]) -> NDArray[np.int16]:
    """Sound of full scale ±1 in whole numbers of 16 bits; what is past full scale is cut off."""
    whole: NDArray[np.int16] = np.rint(np.clip(samples, -1.0, 1.0) * 32_767).astype("<i2")
    return whole


class WavStream:
    """A WAV file written as its sound comes, in two channels.

    Args:
        rate: frames a second.
    """

    def __init__(self, rate: int) -> None:
        self._rate = rate
        self._frames = 0

    def head(self) -> bytes:
        """The file's first bytes, always as many; complete once all sound has been added."""
        return wav_header(self._frames, 2, self._rate)

    def add(self, samples: NDArray[np.floating]) -> bytes:
        """The bytes of the next sound: shape (frames, 2); raises DomainError past the longest a WAV file can be."""
        self._frames += len(samples)
        self.head()
        return whole_samples(samples).tobytes()

    def end(self) -> bytes:
        """Nothing: a WAV file has no end of its own."""
        return b""


def write_wav(samples: NDArray[np.floating], rate: int) -> bytes:
    """A whole WAV file from sound of shape (frames, channels), full scale ±1."""
    frames, channels = samples.shape
    return wav_header(frames, channels, rate) + whole_samples(samples).tobytes()

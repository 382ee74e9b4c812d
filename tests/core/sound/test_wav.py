"""WAV files."""

from __future__ import annotations

import io
import wave

import numpy as np
import pytest

from core.song.errors import DomainError
from core.sound.wav import WavStream, wav_header, write_wav


def test_a_wav_file_is_read_back_by_another_reader() -> None:
    samples = np.array([[0.0, 0.5], [1.0, -1.0], [-0.25, 2.0]], dtype=np.float32)
    with wave.open(io.BytesIO(write_wav(samples, 44_100))) as file:
        assert (file.getnchannels(), file.getsampwidth(), file.getframerate(), file.getnframes()) == (2, 2, 44_100, 3)
        values = np.frombuffer(file.readframes(3), dtype="<i2")
    assert values.tolist() == [0, 16384, 32767, -32767, -8192, 32767]


def test_a_file_that_the_format_cannot_count_is_refused() -> None:
    with pytest.raises(DomainError, match="length of a WAV file"):
        wav_header(2**31, 2, 44_100)


def test_a_file_written_as_its_sound_comes_is_the_same_as_one_written_at_once() -> None:
    samples = np.linspace(-1.1, 1.1, 2000, dtype=np.float32).reshape(-1, 2)
    stream = WavStream(44_100)
    empty = stream.head()
    body = b"".join(stream.add(samples[first : first + 300]) for first in range(0, 1000, 300)) + stream.end()
    assert len(empty) == len(stream.head())
    assert stream.head() + body == write_wav(samples, 44_100)

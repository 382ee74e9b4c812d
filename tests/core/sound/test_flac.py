"""Sound as a FLAC file, read back by another library."""

from __future__ import annotations

import miniaudio
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from core.sound.flac import BLOCK, FlacStream
from core.sound.wav import whole_samples

RATE = 44_100


def written(sound: NDArray[np.floating], piece: int = 10_000) -> bytes:
    stream = FlacStream(RATE)
    first = stream.head()
    body = b"".join(stream.add(sound[start : start + piece]) for start in range(0, len(sound), piece)) + stream.end()
    head = stream.head()
    assert len(head) == len(first)
    return head + body


def read(data: bytes) -> NDArray[np.int16]:
    sound = miniaudio.decode(data, miniaudio.SampleFormat.SIGNED16, nchannels=2, sample_rate=RATE)
    return np.frombuffer(sound.samples, dtype=np.int16).reshape(-1, 2)


def tone(frames: int) -> NDArray[np.float64]:
    time = np.arange(frames) / RATE
    fading = np.exp(-2 * time)
    return 0.4 * np.stack((np.sin(2764.6 * time) * fading, np.sin(3141.6 * time) * fading), axis=1)


def noise(frames: int) -> NDArray[np.float64]:
    return np.random.default_rng(frames).uniform(-1.2, 1.2, (frames, 2))


@pytest.mark.parametrize("frames", [1, 2, 3, 17, 64, BLOCK - 1, BLOCK, BLOCK + 1, 3 * BLOCK + 1000])
@pytest.mark.parametrize("made", [tone, noise, lambda frames: np.zeros((frames, 2))], ids=["tone", "noise", "silence"])
def test_every_sample_comes_back(frames: int, made: object) -> None:
    sound = made(frames)  # type: ignore[operator]  # parametrized values come in as objects
    assert np.array_equal(read(written(sound)), whole_samples(sound))


def test_the_pieces_in_which_sound_comes_make_no_difference() -> None:
    sound = tone(3 * BLOCK + 50)
    assert written(sound, 777) == written(sound, len(sound))


def test_a_song_of_more_than_128_frames_is_numbered_rightly() -> None:
    sound = tone(140 * BLOCK)
    assert np.array_equal(read(written(sound)), whole_samples(sound))


def test_a_tone_takes_much_less_room_than_in_a_wav_file() -> None:
    sound = tone(RATE)
    assert len(written(sound)) < 0.6 * 4 * len(sound)


def test_the_head_tells_how_long_it_is() -> None:
    info = miniaudio.flac_get_info(written(tone(5000)))
    assert (info.num_frames, info.nchannels, info.sample_rate) == (5000, 2, RATE)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.sampled_from([-32768, -32767, -1, 0, 1, 255, 32767]), min_size=2, max_size=300))
def test_the_wildest_samples_come_back(samples: list[int]) -> None:
    sound = np.array(samples[: len(samples) // 2 * 2]).reshape(-1, 2) / 32_767
    assert np.array_equal(read(written(sound)), whole_samples(sound))

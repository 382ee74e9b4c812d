"""The piano's samples, shifted from the keys that were made to the keys that are played.

The bank is given a list of samples and a way to decode each by name; it reads no files itself. Shifting is
slow (tens of milliseconds a key) and is done by `SampleBank.prepare`, never while sound is being mixed.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from typing import Final

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from core.song.errors import DeviceError
from core.song.wording import say
from core.sound.piano_model import figures

Pcm = NDArray[np.int16]
"""Sound of shape (frames, 2), full scale ±32767."""

LOWEST_KEY: Final = 21
HIGHEST_KEY: Final = 108
FULL_SCALE: Final = 32_767
GUARD_FRAMES: Final = 512
"""Silence after a sample while it is shifted, so that the ringing of the band limit does not wrap round."""


class Layer(Struct, frozen=True):
    """One key struck with one velocity.

    Attributes:
        velocity: 1 … 127.
        pcm: the sound.
        gain: what brings full scale to the loudness of the key at velocity 80.
    """

    velocity: int
    pcm: Pcm
    gain: float


class KeySound(Struct, frozen=True):
    """A key ready to be played: its layers from the softest to the hardest, all of one length and phase."""

    midi: int
    layers: tuple[Layer, ...]

    @property
    def frames(self) -> int:
        """Length in frames."""
        return len(self.layers[0].pcm)


class _Listed(Struct, frozen=True):
    velocity: int
    name: str
    gain: float


class SampleBank:
    """The samples of a piano by key.

    Args:
        listing: the text of ``piano.json``.
        decode: from a sample's name to its sound; called once for each sample that is needed.
    """

    def __init__(self, listing: bytes | str, decode: Callable[[str], Pcm]) -> None:
        try:
            content = json.loads(listing)
            self.rate = int(content["rate"])
            self._listed: dict[int, list[_Listed]] = {}
            for sample in content["samples"]:
                listed = _Listed(int(sample["velocity"]), str(sample["file"]), float(sample["gain"]))
                self._listed.setdefault(int(sample["key"]), []).append(listed)
        except (ValueError, KeyError, TypeError) as error:
            raise DeviceError(say("The list of the piano's samples is damaged; install Phrasebench again.")) from error
        self._decode = decode
        self._roots: dict[int, KeySound] = {}
        self._ready: dict[int, KeySound] = {}

    @property
    def roots(self) -> tuple[int, ...]:
        """The keys that were made, from the lowest."""
        return tuple(sorted(self._listed))

    @property
    def ready_keys(self) -> frozenset[int]:
        """Keys that can be played at once."""
        return frozenset(self._ready)

    def ready(self, midi: int) -> KeySound | None:
        """A key that has been prepared, or None; takes no time."""
        return self._ready.get(playable(midi))

    def prepare(self, midi: int) -> KeySound:
        """Make a key ready and return it; slow the first time."""
        midi = playable(midi)
        found = self._ready.get(midi)
        if found is None:
            root = self._root(min(self._listed, key=lambda key: (abs(key - midi), key)))
            found = root if root.midi == midi else shifted(root, midi)
            self._ready[midi] = found
        return found

    def prepare_all(self, midis: Iterable[int]) -> None:
        """Make several keys ready."""
        for midi in dict.fromkeys(midis):
            self.prepare(midi)

    def _root(self, key: int) -> KeySound:
        found = self._roots.get(key)
        if found is None:
            layers = (
                Layer(one.velocity, self._decode(one.name), one.gain)
                for one in sorted(self._listed[key], key=lambda one: one.velocity)
            )
            found = _of_one_length(key, tuple(layers))
            self._roots[key] = found
        return found


def playable(midi: int) -> int:
    """The key itself, or for one past the ends of an 88-key piano the one some octaves nearer."""
    while midi < LOWEST_KEY:
        midi += 12
    while midi > HIGHEST_KEY:
        midi -= 12
    return midi


def shifted(root: KeySound, midi: int) -> KeySound:
    """A key made from a neighbour by band-limited resampling of the whole sample in the frequency domain."""
    ratio = 2 ** ((midi - root.midi) / 12)
    louder = 10 ** ((figures(midi).loudness - figures(root.midi).loudness) / 20)
    layers = (Layer(layer.velocity, _resampled(layer.pcm, ratio), layer.gain * louder) for layer in root.layers)
    return KeySound(midi, tuple(layers))


def _resampled(pcm: Pcm, ratio: float) -> Pcm:
    """The same sound `ratio` times as high and as fast."""
    before, after = _lengths(len(pcm) + GUARD_FRAMES, ratio)
    padded = np.zeros((pcm.shape[1], before), dtype=np.float32)
    padded[:, : len(pcm)] = pcm.T
    spectrum = np.fft.rfft(padded, axis=1)
    resampled = np.fft.irfft(spectrum[:, : after // 2 + 1], after, axis=1)[:, : round(len(pcm) / ratio)]
    resampled *= after / before
    # The band limit may overshoot full scale by a hair where a sample's peak is near it.
    return np.ascontiguousarray(np.clip(np.rint(resampled), -FULL_SCALE, FULL_SCALE).astype(np.int16).T)


def _lengths(at_least: int, ratio: float) -> tuple[int, int]:
    """Two lengths in nearly the ratio, both quick to transform, the first at least so long.

    Among a few hundred pairs the best is within a few hundredths of a cent.
    """
    before = _smooth_numbers(at_least, round(at_least * 1.1))
    after = _smooth_numbers(int(before[0] / ratio) - 1, round(before[-1] / ratio) + 1)
    nearest = np.clip(np.searchsorted(after, before / ratio), 1, len(after) - 1)
    nearest -= before / ratio - after[nearest - 1] < after[nearest] - before / ratio
    best = int(np.argmin(np.abs(np.log(before / after[nearest] / ratio))))
    return int(before[best]), int(after[nearest[best]])


def _smooth_numbers(lowest: int, highest: int) -> NDArray[np.int64]:
    """The whole numbers in a range without a prime factor past 13, in order; Fourier transforms like them."""
    numbers = np.array([1], dtype=np.int64)
    for prime in (13, 11, 7, 5, 3, 2):
        powers = prime ** np.arange(int(np.log(highest) / np.log(prime)) + 1, dtype=np.int64)
        numbers = np.multiply.outer(numbers, powers).ravel()
        numbers = numbers[numbers <= highest]
    return np.sort(numbers[numbers >= lowest])


def _of_one_length(key: int, layers: tuple[Layer, ...]) -> KeySound:
    if not layers:
        raise DeviceError(say("The list of the piano's samples is damaged; install Phrasebench again."))
    frames = min(len(layer.pcm) for layer in layers)
    return KeySound(key, tuple(Layer(layer.velocity, layer.pcm[:frames], layer.gain) for layer in layers))

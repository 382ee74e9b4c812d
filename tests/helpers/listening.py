"""What a listener with a measuring instrument finds in rendered sound."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def partial_frequency(sound: NDArray[np.floating], rate: int, near: float) -> tuple[float, float]:
    """Frequency in hertz and power of the strongest tone within half a semitone of `near`.

    A Hann window, eight-fold zero padding and a parabola through the logarithms of the peak and its neighbours
    find it to about a hundredth of a cent.
    """
    mono = np.asarray(sound, dtype=np.float64).mean(axis=1)
    length = 8 * len(mono)
    spectrum = np.abs(np.fft.rfft(mono * np.hanning(len(mono)), length))
    low, high = (int(near * factor * length / rate) for factor in (2 ** (-1 / 24), 2 ** (1 / 24)))
    peak = low + int(np.argmax(spectrum[low : high + 1]))
    left, middle, right = np.log(spectrum[peak - 1 : peak + 2])
    place = peak + 0.5 * (left - right) / (left - 2 * middle + right)
    return float(place * rate / length), float(spectrum[peak] ** 2)


def cents(frequency: float, reference: float) -> float:
    """How far a frequency lies above a reference, in cents."""
    return float(1200 * np.log2(frequency / reference))


def onset_frames(sound: NDArray[np.floating], rate: int, quiet: float = 0.05) -> list[int]:
    """Frames at which something starts: the power in a millisecond jumps far above that of the twenty before it."""
    power = np.asarray(sound, dtype=np.float64).mean(axis=1) ** 2
    window = rate // 1000
    sums = np.concatenate(([0.0], np.cumsum(power)))
    means = (sums[window:] - sums[:-window]) / window
    found: list[int] = []
    for frame in range(0, len(means), window // 4):
        before = means[max(0, frame - 20 * window) : max(1, frame - window)].max(initial=0.0)
        if means[frame] > 4 * before + quiet**2 and (not found or frame - found[-1] > 30 * window):
            found.append(frame)
    return found


def level_db(sound: NDArray[np.floating], rate: int, start: float, length: float = 0.05) -> float:
    """Mean power of a stretch in dB against full scale; start and length in seconds."""
    stretch = np.asarray(sound[int(start * rate) : int((start + length) * rate)], dtype=np.float64)
    return float(10 * np.log10(np.mean(stretch**2) + 1e-30))

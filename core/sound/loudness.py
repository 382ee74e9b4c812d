"""How loud a sound is to the ear: the K weighting of ITU-R BS.1770.

The weighting is two second-order filters: a high shelf for the head and a high-pass. Their coefficients at
48 kHz are those of the recommendation (from memory); their response is evaluated in the frequency domain, so
that any sample rate can be weighted.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

FILTER_RATE: Final = 48_000
SHELF: Final = ((1.53512485958697, -2.69169618940638, 1.19839281085285), (1.0, -1.69065929318241, 0.73248077421585))
HIGH_PASS: Final = ((1.0, -2.0, 1.0), (1.0, -1.99004745483398, 0.99007225036621))


def k_weight(frequencies: NDArray[np.float64]) -> NDArray[np.float64]:
    """Amplitude factor of the K weighting at frequencies in hertz (those above 24 kHz count as 24 kHz)."""
    turn = np.exp(-2j * np.pi * np.minimum(frequencies, FILTER_RATE / 2) / FILTER_RATE)
    response = np.ones_like(frequencies)
    for above, below in (SHELF, HIGH_PASS):
        response = response * np.abs(np.polyval(above[::-1], turn) / np.polyval(below[::-1], turn))
    return response


def loudness_db(samples: NDArray[np.floating], rate: int) -> float:
    """K-weighted mean power of all channels together, in dB against a full-scale square wave in one channel.

    Args:
        samples: shape (frames, channels), full scale ±1.
        rate: frames a second.
    """
    spectrum = np.fft.rfft(np.asarray(samples, dtype=np.float64), axis=0)
    weight = k_weight(np.fft.rfftfreq(len(samples), 1 / rate).astype(np.float64))
    power = np.abs(spectrum * weight[:, None]) ** 2
    mean = (2 * power.sum() - power[0].sum()) / len(samples) ** 2
    return float(10 * np.log10(mean + 1e-30))

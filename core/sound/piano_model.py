"""A piano made from arithmetic: the model behind the sampled piano's samples.

What it imitates, and after whom:

- Stiff strings: partial n of a string sounds at n·f₀·√(1 + B·n²). B by MIDI number m is
  exp(−0.0847·m − 7.9) + exp(0.0926·m − 13.84): the form after Rigaud, David & Daudet 2013 (from memory), the
  offset of the bass fitted to measurements, that of the treble a little under theirs (−13.64), so that a key's
  lowest partial and the pitch of all its partials together are both within two cents of equal temperament.
- Two-stage decay (Weinreich 1977): strings of one key first move together and lose their energy to the bridge
  quickly (*prompt* sound), then against one another and slowly (*aftersound*). High partials decay faster.
- The hammer strikes at a fraction β of the string, so that partial n is weighted by |sin(π·n·β)|; the harder
  the blow, the brighter.
- A soundboard as a few broad resonances, and the thump of key and hammer.

The figures by key in `FIGURES` were fitted to measurements of two sampled grand pianos.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from core.sound.loudness import loudness_db

RATE: Final = 44_100
"""Frames a second of everything the piano makes."""
REFERENCE_VELOCITY: Final = 80
"""The velocity at which the figures hold, and to whose loudness every layer is brought."""

TUNED_AT: Final = 67
"""The velocity at whose colour a key is in tune; a harder blow weighs the sharper high partials more."""

_KEYS: Final = (21, 33, 45, 57, 69, 75, 81, 87, 93, 99, 105, 108)


class Figures(Struct, frozen=True):
    """What the model knows of one key, between the keys that were measured by straight lines.

    Attributes:
        prompt_decay: seconds in which the prompt sound of the lowest partial falls by 60 dB.
        after_decay: the same of the aftersound.
        after_level: dB of the aftersound against the prompt sound at the start.
        slope_octave: dB by which partials fall per octave of their number.
        slope_kilohertz: dB by which they fall per kilohertz besides.
        hammer: where the hammer strikes, as a fraction of the string's length.
        detuning: cents between the outer strings and the middle one.
        thump: dB of the noise of key and hammer against the note's peak.
        loudness: K-weighted dB of the first half second against key 57.
        length: seconds that a sample is kept.
        attack: seconds in which the sound rises.
    """

    prompt_decay: float
    after_decay: float
    after_level: float
    slope_octave: float
    slope_kilohertz: float
    hammer: float
    detuning: float
    thump: float
    loudness: float
    length: float
    attack: float


FIGURES: Final[dict[str, tuple[float, ...]]] = {
    "prompt_decay": (14.5, 7.3, 4.6, 4.0, 3.9, 2.2, 1.15, 0.8, 0.55, 0.27, 0.17, 0.15),
    # First fitted to (24, 18, 17, 20, 13, 12, 11, 9, 5, 4, 2.2, 1.8). From key 87 up shorter: the treble rang on too
    # long. Below it longer: strings that beat, and the prompt sound under them, bring the late sound down sooner
    # than its own figure, so that the middle died too soon; heard whole, it now takes what was fitted or more.
    "after_decay": (28.0, 24.0, 22.0, 26.0, 17.5, 14.5, 14.0, 8.5, 4.4, 3.0, 1.7, 1.4),
    "after_level": (-6.0, -9.0, -12.0, -13.0, -14.0, -16.0, -18.0, -21.0, -25.0, -25.0, -25.0, -25.0),
    "slope_octave": (6.0, 5.0, 4.6, 4.5, 5.0, 4.5, 4.5, 6.0, 8.0, 9.0, 10.0, 10.0),
    # Between keys 57 and 92 a tenth less steep than first fitted: the fit lacked air there.
    "slope_kilohertz": (1.2, 1.3, 1.4, 1.75, 2.25, 2.6, 3.25, 3.8, 4.1, 4.0, 4.0, 4.0),
    "hammer": (0.12, 0.12, 0.12, 0.12, 0.115, 0.105, 0.095, 0.088, 0.08, 0.072, 0.065, 0.06),
    "detuning": (0.0, 0.35, 0.45, 0.45, 0.55, 0.7, 0.8, 1.0, 1.1, 1.2, 1.3, 1.3),
    "thump": (-31.0, -31.0, -31.0, -30.0, -28.0, -26.0, -25.0, -23.0, -22.0, -20.0, -19.0, -18.0),
    "loudness": (0.0, 0.0, 0.0, 0.0, -1.5, -2.7, -4.0, -5.0, -6.0, -7.0, -8.0, -8.5),
    # Long enough that a chord held for two slow bars does not die before it is let go.
    "length": (9.0, 9.0, 8.5, 8.0, 7.0, 5.5, 4.2, 3.0, 2.0, 1.4, 1.0, 0.9),
    "attack": (0.014, 0.011, 0.0085, 0.0065, 0.005, 0.0045, 0.004, 0.0035, 0.003, 0.0025, 0.002, 0.002),
}

FASTER_PER_KILOHERTZ: Final = 0.070
"""By how much 1 / (decay time in seconds) grows per kilohertz above the lowest partial."""
BRIGHTNESS_EXPONENT: Final = 0.65
"""Slopes are scaled by (80 / velocity) to this power."""
COMB_FLOOR: Final = 0.06
"""A hammer is not a point: it leaves some of every partial."""
IRREGULARITY_DB: Final = 2.2
"""Standard deviation of the partials' levels about the slopes, drawn once per key for all velocities."""
STEADIER: Final = np.array((0.2, 0.25, 0.4, 0.6, 0.8))
"""The lowest partials are less irregular."""
BOARD: Final = ((95.0, 3.0), (190.0, 2.0), (420.0, -2.0), (1150.0, 1.5), (2600.0, 1.5))
"""Resonances of the soundboard: hertz, dB."""
BOARD_WIDTH: Final = 0.5
"""Their width in octaves."""
BOARD_LOW: Final = 62.0
BOARD_HIGH: Final = 9000.0
HIGHEST_PARTIAL: Final = 17_000.0
QUIETEST_PARTIAL_DB: Final = -84.0
WEIGHED_PARTIALS: Final = 8
"""Partials by whose power the pitch of a key is judged."""
FADE: Final = 0.7
"""Seconds, at most a third of the sample, in which a sample that is cut off fades away."""


def figures(midi: float) -> Figures:
    """The figures of a key, 21 … 108."""
    return Figures(**{name: float(np.interp(midi, _KEYS, column)) for name, column in FIGURES.items()})


def frequency(midi: float) -> float:
    """Hertz of a key in equal temperament, A4 = 69 = 440 Hz."""
    return float(440.0 * 2.0 ** ((midi - 69) / 12))


def inharmonicity(midi: float) -> float:
    """The stiffness B of a key's strings."""
    return float(np.exp(-0.0847 * midi - 7.9) + np.exp(0.0926 * midi - 13.84))


def strings(midi: float) -> int:
    """How many strings a key has."""
    return 1 if midi < 29 else 2 if midi < 41 else 3


class Partials(Struct, frozen=True):
    """The partials of one key struck with one velocity, one row each.

    Attributes:
        numbers: 1 for the lowest.
        frequencies: hertz.
        amplitudes: before calibration.
        prompt_decay: seconds to fall by 60 dB.
        after_decay: the same of the aftersound.
    """

    numbers: NDArray[np.float64]
    frequencies: NDArray[np.float64]
    amplitudes: NDArray[np.float64]
    prompt_decay: NDArray[np.float64]
    after_decay: NDArray[np.float64]


def partials(midi: int, velocity: int) -> Partials:
    """The partials of a key.

    Their frequencies are the same for every velocity, so that layers can be cross-faded. They are tuned so that
    the power-weighted pitch of the lowest eight at `TUNED_AT`, half-way between the layers, is that of equal
    temperament.
    """
    key, stiffness = figures(midi), inharmonicity(midi)
    lowest = frequency(midi)
    numbers = np.arange(1.0, max(2.0, HIGHEST_PARTIAL / lowest))
    stretch = np.sqrt(1 + stiffness * numbers**2)
    numbers, stretch = (row[numbers * stretch * lowest < HIGHEST_PARTIAL] for row in (numbers, stretch))
    nominal = numbers * stretch * lowest
    faster = FASTER_PER_KILOHERTZ * (nominal - nominal[0]) / 1000
    prompt = 1 / (1 / key.prompt_decay + faster)
    after = 1 / (1 / key.after_decay + faster)

    low = numbers <= WEIGHED_PARTIALS
    weights = _amplitudes(midi, TUNED_AT, numbers, nominal)[low] ** 2 * prompt[low]
    sharp = np.exp(np.sum(weights * np.log(stretch[low])) / np.sum(weights))
    amplitudes = _amplitudes(midi, velocity, numbers, nominal)
    kept = amplitudes > amplitudes.max() * 10 ** (QUIETEST_PARTIAL_DB / 20)
    return Partials(*(row[kept] for row in (numbers, nominal / sharp, amplitudes, prompt, after)))


def _amplitudes(
    midi: int, velocity: int, numbers: NDArray[np.float64], hertz: NDArray[np.float64]
) -> NDArray[np.float64]:
    """How strong each partial is, the lowest one about 1."""
    key = figures(midi)
    softness = (REFERENCE_VELOCITY / velocity) ** BRIGHTNESS_EXPONENT
    slopes = key.slope_octave * np.log2(numbers) + key.slope_kilohertz * (hertz - hertz[0]) / 1000
    # Up to its first maximum the comb rises with the number; that rise is already in the fitted slopes.
    past = numbers * key.hammer > 0.5
    comb = np.where(past, np.maximum(COMB_FLOOR, np.abs(np.sin(np.pi * numbers * key.hammer))), 1.0)
    irregular = _dice(midi, "levels").normal(0.0, IRREGULARITY_DB, 1000)[: len(numbers)]
    irregular[: len(STEADIER)] *= STEADIER[: len(numbers)]
    level = -slopes * softness + irregular + _soundboard_db(hertz)
    return np.asarray(comb * 10 ** (level / 20))


def synthesise(midi: int, velocity: int) -> NDArray[np.float64]:
    """One key struck once and held: shape (frames, 2) at `RATE`, as loud as the key is at velocity 80.

    Only the colour differs between velocities; how loud each is played is the player's business
    (`core.sound.piano`). Full scale is of no meaning here: the first half second of key 57 has a K-weighted
    loudness of 0 dB.

    Args:
        midi: 21 … 108.
        velocity: 1 … 127.
    """
    key, row = figures(midi), partials(midi, velocity)
    frames = int(key.length * RATE)
    time = np.arange(frames) / RATE
    dice = _dice(midi, "phases")
    phases = dice.uniform(0, 2 * np.pi, (1000, 3))
    widths = dice.uniform(-0.6, 0.6, 1000)
    tilts = dice.normal(0.0, 1.2, 1000)
    lean = 2.5 * (midi - 64) / 44  # dB by which bass keys lean left and treble keys right
    after_level = 10 ** (key.after_level / 20)
    sound = np.zeros((frames, 2))
    for place, (number, hertz, amplitude, prompt, after) in enumerate(
        zip(row.numbers, row.frequencies, row.amplitudes, row.prompt_decay, row.after_decay, strict=True)
    ):
        index = int(number) - 1
        audible = min(frames, int(after * RATE * (100 + 20 * np.log10(amplitude)) / 60) + RATE // 10)
        moment = time[:audible]
        wave = np.exp(-np.log(1000) / prompt * moment + 1j * (2 * np.pi * hertz * moment + phases[index, 0]))
        late = _aftersound(midi, hertz, phases[index], moment, key.detuning)
        wave += after_level * np.exp(-np.log(1000) / after * moment) * late
        level = amplitude * 10 ** (np.array((-1, 1)) * (lean + tilts[index]) / 40)
        turn = np.exp(1j * widths[index] * np.array((1, -1)) * min(1.0, place / 3))
        sound[:audible] += level * (wave[:, None] * turn).real
    rise = int(key.attack * RATE)
    sound[:rise] *= (0.5 - 0.5 * np.cos(np.pi * np.arange(rise) / rise))[:, None]
    sound += _thump(midi, frames) * np.abs(sound).max() * 10 ** (key.thump / 20)
    fade = int(min(FADE, key.length / 3) * RATE)
    sound[-fade:] *= (0.5 + 0.5 * np.cos(np.pi * (np.arange(fade) + 1) / fade))[:, None]
    return sound * 10 ** ((key.loudness - loudness_db(sound[: RATE // 2], RATE)) / 20)


def _aftersound(
    midi: int, hertz: float, phases: NDArray[np.float64], moment: NDArray[np.float64], detuning: float
) -> NDArray[np.complex128]:
    """Strings that move against one another: as many tones as there are strings to do so, slightly apart.

    With three strings one tone leads, so that their beating colours the late sound and does not end it early, and
    the two together lie about the middle string's pitch.
    """
    apart = hertz * (2 ** (detuning / 1200) - 1)
    if strings(midi) < 3:
        return np.asarray(np.exp(1j * (2 * np.pi * (hertz + apart) * moment + phases[0])))
    leading = np.exp(1j * (2 * np.pi * (hertz + 0.3 * apart) * moment + phases[0]))
    other = np.exp(1j * (2 * np.pi * (hertz - apart) * moment + phases[1]))
    return np.asarray(0.8 * leading + 0.2 * other)


def _soundboard_db(hertz: NDArray[np.float64]) -> NDArray[np.float64]:
    level = np.zeros_like(hertz)
    for centre, gain in BOARD:
        level += gain * np.exp(-0.5 * (np.log2(hertz / centre) / BOARD_WIDTH) ** 2)
    level -= 12 * np.maximum(0.0, np.log2(BOARD_LOW / hertz))
    level -= 9 * np.maximum(0.0, np.log2(hertz / BOARD_HIGH))
    return level


def _thump(midi: int, frames: int) -> NDArray[np.float64]:
    """The noise of key, hammer and board, its peak 1: noise that dulls with the key, and low modes of the board."""
    dice = _dice(midi, "thump")
    length = min(frames, int(0.35 * RATE))
    time = np.arange(length) / RATE
    spectrum = np.fft.rfft(dice.normal(size=(length, 2)), axis=0)
    hertz = np.fft.rfftfreq(length, 1 / RATE)
    upper = 700.0 + 40.0 * max(0, midi - 40)
    shape = 1 / (1 + (hertz / upper) ** 2) * (hertz / (hertz + 80.0)) ** 2
    noise = np.fft.irfft(spectrum * shape[:, None], length, axis=0) * np.exp(-time / 0.022)[:, None]
    noise /= np.abs(noise).max()
    modes = sum(
        weight * np.sin(2 * np.pi * mode * time + phase) * np.exp(-time / 0.06)
        for (mode, weight), phase in zip(
            ((78.0, 0.5), (112.0, 0.35), (173.0, 0.25)), dice.uniform(0, 6, 3), strict=True
        )
    )
    thump = np.zeros((frames, 2))
    thump[:length] = noise + np.asarray(modes)[:, None]
    rise = int(0.002 * RATE)
    thump[:rise] *= np.linspace(0, 1, rise)[:, None]
    thump[:length] *= (np.cos(0.5 * np.pi * time / time[-1]) ** 2)[:, None]
    return np.asarray(thump / np.abs(thump).max())


def _dice(midi: int, purpose: str) -> np.random.Generator:
    """The same dice for a key every time, whatever the velocity."""
    return np.random.default_rng([midi, *purpose.encode()])

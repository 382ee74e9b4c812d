"""The piano made from arithmetic, measured as it comes out of the model."""

from __future__ import annotations

import math

import numpy as np
import pytest

from core.sound.loudness import loudness_db
from core.sound.piano_model import FIGURES, RATE, figures, frequency, partials, strings, synthesise
from tests.helpers.listening import cents, level_db, partial_frequency


def test_a4_is_440_hertz() -> None:
    assert frequency(69) == 440.0
    assert frequency(60) == pytest.approx(261.6256, abs=1e-4)


def test_figures_are_those_of_the_measured_keys_and_between_them_in_between() -> None:
    assert figures(57).prompt_decay == FIGURES["prompt_decay"][3]
    assert FIGURES["prompt_decay"][3] > figures(63).prompt_decay > FIGURES["prompt_decay"][4]


def test_low_keys_have_fewer_strings() -> None:
    assert [strings(midi) for midi in (21, 28, 29, 40, 41, 108)] == [1, 1, 2, 2, 3, 3]


@pytest.mark.parametrize("velocity", [40, 80, 112])
def test_every_key_is_within_two_cents_by_its_lowest_partial_and_by_all_of_them_together(velocity: int) -> None:
    for midi in range(21, 109):
        row = partials(midi, velocity)
        low = row.numbers <= 8
        power = row.amplitudes[low] ** 2 * row.prompt_decay[low]
        together = 1200 * np.log2(row.frequencies[low] / row.numbers[low] / frequency(midi))
        assert abs(cents(row.frequencies[0], frequency(midi))) < 2
        assert abs(float(np.sum(power * together) / np.sum(power))) < 2


def test_layers_share_their_frequencies() -> None:
    soft, hard = partials(60, 40), partials(60, 112)
    shared = len(soft.numbers)
    assert np.array_equal(soft.frequencies, hard.frequencies[:shared])
    assert len(hard.numbers) > shared


def test_a_sound_is_the_same_every_time_begins_at_nothing_and_ends_at_nothing() -> None:
    first, again = synthesise(84, 80), synthesise(84, 80)
    assert np.array_equal(first, again)
    assert np.abs(first[0]).max() < 1e-6
    assert np.abs(first[-1]).max() < 1e-6


@pytest.mark.parametrize("midi", [69, 81, 93, 105])
def test_the_prompt_sound_falls_as_fast_as_its_figure_says(midi: int) -> None:
    """The lowest partial alone, in the first third of its prompt decay, against the sum of both stages."""
    key, sound = figures(midi), synthesise(midi, 80)
    step = key.prompt_decay / 4
    after = 10 ** (key.after_level / 20)
    level = [
        20 * np.log10(10 ** (-3 * place / key.prompt_decay) + after * 10 ** (-3 * place / key.after_decay))
        for place in (0.02, 0.02 + step)
    ]
    window = int(0.1 * step * RATE) + int(4 * RATE / frequency(midi))

    def narrow(start: float) -> float:
        first = int(start * RATE)
        return 10 * math.log10(partial_frequency(sound[first : first + 2 * window], RATE, frequency(midi))[1])

    fall = narrow(0.02 + step) - narrow(0.02)
    assert fall == pytest.approx(level[1] - level[0], abs=3.5)


def test_a_key_is_as_loud_as_its_figure_says_whatever_the_velocity() -> None:
    for midi, velocity in ((64, 40), (64, 112), (96, 80)):
        found = loudness_db(synthesise(midi, velocity)[: RATE // 2], RATE)
        assert found == pytest.approx(figures(midi).loudness, abs=0.05)


def test_a_middle_key_is_still_heard_after_six_seconds() -> None:
    sound = synthesise(60, 80)
    assert level_db(sound, RATE, 6.0) > level_db(sound, RATE, 0.1) - 45


def test_k_weighting_passes_a_kilohertz_almost_unchanged_and_takes_away_the_deepest() -> None:
    """ITU-R BS.1770: 0 dB full scale at 997 Hz in one channel reads −3.01 LKFS with the offset of −0.691."""
    time = np.arange(RATE) / RATE
    tone = np.zeros((RATE, 2))
    tone[:, 0] = np.sin(2 * np.pi * 997 * time)
    assert loudness_db(tone, RATE) - 0.691 == pytest.approx(-3.01, abs=0.02)
    tone[:, 0] = np.sin(2 * np.pi * 20 * time)
    assert loudness_db(tone, RATE) < -15

"""Samples shifted to their keys."""

from __future__ import annotations

import numpy as np
import pytest

from core.song.errors import DeviceError
from core.sound.bank import playable
from core.sound.piano_model import RATE, frequency
from tests.core.sound.banks import ROOTS, sine_bank
from tests.helpers.listening import cents, partial_frequency


@pytest.mark.parametrize("midi", [47, 49, 59, 61, 66, 73, 84])
def test_a_shifted_key_sounds_at_its_own_pitch(midi: int) -> None:
    sound = sine_bank().prepare(midi)
    for layer in sound.layers:
        found, _ = partial_frequency(layer.pcm[: RATE // 2].astype(np.float64), RATE, frequency(midi))
        assert abs(cents(found, frequency(midi))) < 0.15


def test_a_key_shifted_up_is_shorter_and_as_loud() -> None:
    bank = sine_bank()
    root, up = bank.prepare(60), bank.prepare(61)
    assert up.frames == pytest.approx(root.frames / 2 ** (1 / 12), abs=1)
    for below, above in zip(root.layers, up.layers, strict=True):
        assert np.abs(above.pcm).max() == pytest.approx(np.abs(below.pcm).max(), rel=0.02)


def test_what_is_not_prepared_is_not_ready_and_what_is_stays_so() -> None:
    bank = sine_bank()
    assert bank.ready(61) is None
    made = bank.prepare(61)
    assert bank.ready(61) is made
    assert bank.prepare(61) is made
    assert bank.ready_keys == {61}
    assert bank.roots == ROOTS


def test_keys_past_the_ends_of_the_piano_sound_an_octave_nearer() -> None:
    assert playable(20) == 32
    assert playable(0) == 24
    assert playable(109) == 97
    assert playable(127) == 103
    assert playable(60) == 60


@pytest.mark.parametrize("listing", [b"{", b"[]", b'{"rate": 44100}', b'{"rate": 44100, "samples": [{"key": 1}]}'])
def test_a_damaged_list_is_named_in_a_sentence(listing: bytes) -> None:
    with pytest.raises(DeviceError, match="damaged"):
        sine_bank(listing=listing)

"""The built-in piano's samples, found among the assets and decoded."""

from __future__ import annotations

from typing import Final

import miniaudio
import numpy as np

from app.resources import asset_path
from core.song.errors import DeviceError
from core.song.wording import say
from core.sound.bank import Pcm, SampleBank
from core.sound.piano_model import RATE

FOLDER: Final = "piano"


def piano_samples() -> SampleBank:
    """The bank of the built-in piano; samples are decoded when they are needed.

    Raises DeviceError where the program's own files are missing.
    """
    try:
        listing = asset_path(f"{FOLDER}/piano.json").read_bytes()
    except OSError as error:
        raise DeviceError(say("The built-in piano's samples are missing; install Phrasebench again.")) from error
    return SampleBank(listing, _decoded)


def _decoded(name: str) -> Pcm:
    try:
        encoded = asset_path(f"{FOLDER}/{name}").read_bytes()
        sound = miniaudio.decode(encoded, miniaudio.SampleFormat.SIGNED16, nchannels=2, sample_rate=RATE)
    except (OSError, miniaudio.MiniaudioError) as error:
        raise DeviceError(
            say("The piano's sample {name} is missing or damaged; install Phrasebench again.", name=name)
        ) from error
    return np.frombuffer(sound.samples, dtype=np.int16).reshape(-1, 2)

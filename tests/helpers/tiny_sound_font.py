"""A SoundFont of our own, a few kilobytes: one looped sine for all keys (after the SoundFont 2.04 specification)."""

from __future__ import annotations

import struct

import numpy as np

RATE = 44_100
PERIOD = 100
"""Frames: 441 Hz."""
PERIODS = 40
ROOT = 69
GUARD = 46
"""Frames of silence after every sample (section 6.1)."""
INSTRUMENT, SAMPLE_ID, SAMPLE_MODES, RELEASE = 41, 53, 54, 38
"""Numbers of generators (section 8.1.2)."""


def tiny_sound_font(bank: int = 0, preset: int = 0) -> bytes:
    """The bytes of the file; its only sound stands at that bank and number."""
    frames = PERIOD * PERIODS
    wave = np.sin(2 * np.pi * np.arange(frames) / PERIOD) * 30_000
    pcm = np.concatenate([wave, np.zeros(GUARD)]).astype("<i2").tobytes()
    info = _list(b"INFO", _chunk(b"ifil", struct.pack("<HH", 2, 1)), _chunk(b"INAM", b"Tiny\0\0"))
    sounds = _list(b"sdta", _chunk(b"smpl", pcm))
    header = struct.Struct("<20sHHHIII")
    sample = struct.Struct("<20sIIIIIBbHH")
    settings = _list(
        b"pdta",
        _chunk(b"phdr", header.pack(b"Sine", preset, bank, 0, 0, 0, 0) + header.pack(b"EOP", 0, 0, 1, 0, 0, 0)),
        _chunk(b"pbag", struct.pack("<HHHH", 0, 0, 1, 0)),
        _chunk(b"pmod", bytes(10)),
        _chunk(b"pgen", struct.pack("<Hh", INSTRUMENT, 0) + bytes(4)),
        _chunk(b"inst", struct.pack("<20sH20sH", b"Sine", 0, b"EOI", 1)),
        _chunk(b"ibag", struct.pack("<HHHH", 0, 0, 3, 0)),
        _chunk(b"imod", bytes(10)),
        _chunk(
            b"igen",
            struct.pack("<HhHhHh", RELEASE, -6000, SAMPLE_MODES, 1, SAMPLE_ID, 0) + bytes(4),
        ),
        _chunk(
            b"shdr",
            sample.pack(b"Sine", 0, frames, PERIOD, frames - PERIOD, RATE, ROOT, 0, 0, 1)
            + sample.pack(b"EOS", 0, 0, 0, 0, 0, 0, 0, 0, 0),
        ),
    )
    body = b"sfbk" + info + sounds + settings
    return b"RIFF" + struct.pack("<I", len(body)) + body


def _chunk(name: bytes, content: bytes) -> bytes:
    return name + struct.pack("<I", len(content)) + content


def _list(name: bytes, *chunks: bytes) -> bytes:
    return _chunk(b"LIST", name + b"".join(chunks))

"""Sound as a FLAC file, 16 bits a sample: the same samples as in a WAV file, in about half the room.

The format is that of RFC 9639 (from memory): frames of `BLOCK` samples a channel, each channel predicted by a fixed
polynomial of order 0 to 3, what the prediction leaves in Rice codes with a parameter for each eighth of a frame.
Numbers of a whole frame are put into bits at once, so that a minute takes a fraction of a second.
"""

from __future__ import annotations

import hashlib
import struct
from functools import cache
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.sound.wav import whole_samples

BLOCK: Final = 4096
CHANNELS: Final = 2
BITS: Final = 16
HIGHEST_ORDER: Final = 3
PARTITION_ORDER: Final = 3
LARGEST_RICE: Final = 14
"""A parameter of 15 would mean bits as they are."""
USUAL_FRAME: Final = 12_000
"""Bytes: most frames are shorter."""
RATES: Final = {44_100: 9, 48_000: 10}
"""Codes of the rates a frame's head can name; 0 refers to the file's head."""

Whole = NDArray[np.int32]


class FlacStream:
    """A FLAC file written as its sound comes.

    Args:
        rate: frames a second.
    """

    def __init__(self, rate: int) -> None:
        self._rate = rate
        self._frames = 0
        self._number = 0
        self._sizes: list[int] = []
        self._sum = hashlib.md5(usedforsecurity=False)  # the format's own check
        self._left = np.zeros((0, CHANNELS), dtype="<i2")

    def head(self) -> bytes:
        """The file's first bytes, always as many; complete once `end` has been called."""
        sizes = (min(self._sizes), max(self._sizes)) if self._sizes else (0, 0)
        facts = (self._rate << 44) | ((CHANNELS - 1) << 41) | ((BITS - 1) << 36) | self._frames
        return (
            b"fLaC\x80\x00\x00\x22"
            + struct.pack(">HH", BLOCK, BLOCK)
            + sizes[0].to_bytes(3, "big")
            + sizes[1].to_bytes(3, "big")
            + struct.pack(">Q", facts)
            + self._sum.digest()
        )

    def add(self, samples: NDArray[np.floating]) -> bytes:
        """The bytes of the next sound: shape (frames, 2), full scale ±1; what is past it is cut off."""
        whole = whole_samples(samples)
        self._sum.update(whole.tobytes())
        self._frames += len(whole)
        waiting = np.concatenate((self._left, whole)) if len(self._left) else whole
        full = len(waiting) - len(waiting) % BLOCK
        self._left = waiting[full:]
        return self._written(waiting[:full].reshape(-1, BLOCK, CHANNELS)) if full else b""

    def end(self) -> bytes:
        """The bytes of what is left."""
        left, self._left = self._left, self._left[:0]
        return self._written(left[None]) if len(left) else b""

    def _written(self, blocks: NDArray[np.int16]) -> bytes:
        """Blocks of one length as frames: shape (blocks, samples, channels)."""
        frames = []
        for body in _bodies(blocks):
            head = self._frame_head(blocks.shape[1])
            frame = head + bytes([_crc_8(head)]) + body
            frame += _crc_16(frame).to_bytes(2, "big")
            frames.append(frame)
            self._number += 1
            self._sizes.append(len(frame))
        return b"".join(frames)

    def _frame_head(self, count: int) -> bytes:
        full = count == BLOCK
        codes = ((12 if full else 7) << 4) | RATES.get(self._rate, 0)
        head = b"\xff\xf8" + bytes([codes, ((CHANNELS - 1) << 4) | (4 << 1)]) + _frame_number(self._number)
        return head if full else head + struct.pack(">H", count - 1)


def _bodies(blocks: NDArray[np.int16]) -> list[bytes]:
    """What stands between the head and the remainder of each frame, filled up with zeros to whole bytes."""
    count, length, channels = blocks.shape
    rows = blocks.transpose(0, 2, 1).reshape(count * channels, length).astype(np.int32)
    values, zeros, widths = (one.reshape(count, -1) for one in _subframes(rows))
    bits = (zeros + widths).sum(axis=1)
    filling = -bits % 8
    none = np.zeros((count, 1), dtype=np.int32)
    packed = _in_bits(
        np.concatenate((values, none), axis=1).ravel(),
        np.concatenate((zeros, none), axis=1).ravel(),
        np.concatenate((widths, filling[:, None].astype(np.int32)), axis=1).ravel(),
    )
    ends = [0, *np.cumsum((bits + filling) // 8).tolist()]
    return [packed[first:last] for first, last in pairwise(ends)]


def _subframes(rows: Whole) -> tuple[Whole, Whole, Whole]:
    """The numbers of each channel of each frame, a row each.

    They come as values, how many zero bits stand before each, and how many bits each has; a number without bits is
    none.
    """
    count, length = rows.shape
    orders, left = _prediction(rows)
    parts = 1 << PARTITION_ORDER if length % (1 << PARTITION_ORDER) == 0 and length >= 64 else 1
    folded = (left << 1) ^ (left >> 31)
    unpredicted = np.arange(HIGHEST_ORDER)[None, :] < orders[:, None]
    folded[:, :HIGHEST_ORDER][unpredicted[:, :length]] = 0
    parted = folded.reshape(count, parts, -1)
    means = parted.mean(axis=2)
    rice = np.clip(np.ceil(np.log2(np.maximum(means * np.log(2), 0.5))), 0, LARGEST_RICE).astype(np.int32)[:, :, None]
    quotients = parted >> rice
    values = np.concatenate((rice, parted - ((quotients - 1) << rice)), axis=2).reshape(count, -1)
    zeros = np.concatenate((np.zeros_like(rice), quotients), axis=2).reshape(count, -1)
    widths = np.concatenate((np.full_like(rice, 4), np.broadcast_to(rice + 1, parted.shape)), axis=2).reshape(count, -1)
    for numbers in (values, zeros, widths):
        numbers[:, 1 : 1 + HIGHEST_ORDER][unpredicted[:, :length]] = 0
    before = np.zeros((count, 3 + HIGHEST_ORDER), dtype=np.int32)
    wide = np.zeros_like(before)
    before[:, 0], wide[:, 0] = (8 + orders) << 1, 8
    first = rows[:, :HIGHEST_ORDER] & 0xFFFF
    before[:, 1 : 1 + first.shape[1]] = np.where(unpredicted[:, :length], first, 0)
    wide[:, 1 : 1 + first.shape[1]] = np.where(unpredicted[:, :length], BITS, 0)
    wide[:, -2:] = 2, 4
    before[:, -1] = PARTITION_ORDER if parts > 1 else 0
    return (
        np.concatenate((before, values), axis=1),
        np.concatenate((np.zeros_like(before), zeros), axis=1),
        np.concatenate((wide, widths), axis=1),
    )


def _prediction(rows: Whole) -> tuple[Whole, Whole]:
    """For each row the order of the polynomial that leaves least, and what it leaves (at first without meaning)."""
    orders = np.zeros(len(rows), dtype=np.int32)
    found, least, left = rows.copy(), np.abs(rows).sum(axis=1, dtype=np.int64), rows
    for order in range(1, min(HIGHEST_ORDER, rows.shape[1] - 1) + 1):
        before, left = left, np.empty_like(left)
        np.subtract(before[:, 1:], before[:, :-1], out=left[:, 1:])
        left[:, 0] = 0
        size = np.abs(left[:, order:]).sum(axis=1, dtype=np.int64)
        better = size < least
        orders[better], least[better], found[better] = order, size[better], left[better]
    return orders, found


def _in_bits(values: Whole, zeros: Whole, widths: Whole) -> bytes:
    """Numbers as bits one after another; none is wider than 16 bits."""
    last = np.cumsum(zeros + widths, dtype=np.int64) - 1
    words = int(last[-1]) // 32 + 1
    shifted = values.astype(np.int64) << (31 - (last & 31))
    place = last >> 5
    # No two numbers share a bit, so that sums of floats are exact.
    bits = np.bincount(place, shifted & 0xFFFFFFFF, words)
    over = np.flatnonzero(shifted >> 32)
    bits += np.bincount(place[over] - 1, shifted[over] >> 32, words)
    return bits.astype(np.uint32).astype(">u4").tobytes()


def _frame_number(number: int) -> bytes:
    """A number in the manner of UTF-8, carried on to 36 bits."""
    if number < 0x80:
        return bytes([number])
    rest: list[int] = []
    room = 0x3F
    while number > room:
        rest.insert(0, 0x80 | (number & 0x3F))
        number >>= 6
        room >>= 1
    return bytes([(0xFF << (7 - len(rest))) & 0xFF | number, *rest])


def _crc_8(data: bytes) -> int:
    """Remainder by x⁸ + x² + x + 1."""
    rest = 0
    for byte in data:
        rest ^= byte
        for _ in range(8):
            rest = (rest << 1) ^ (0x107 if rest & 0x80 else 0)
    return rest


def _crc_16(data: bytes) -> int:
    """Remainder by x¹⁶ + x¹⁵ + x² + 1; every byte adds its own, by its distance from the end."""
    table = _crc_16_table()
    longest = len(table) // 256
    row = np.frombuffer(data, dtype=np.uint8).astype(np.intp)
    rest = 0
    for first in range(0, len(row), longest):
        part = row[first : first + longest]
        part[: min(2, len(part))] ^= np.array((rest >> 8, rest & 0xFF))[: len(part)]
        if len(part) == 1:
            rest = (rest & 0xFF) << 8 ^ int(table[part[0]])
            continue
        rest = int(np.bitwise_xor.reduce(table.take(part + _rows(longest)[-len(part) :])))
    return rest


@cache
def _rows(longest: int) -> NDArray[np.intp]:
    return np.arange(longest - 1, -1, -1, dtype=np.intp) * 256


@cache
def _crc_16_table() -> NDArray[np.uint16]:
    """Remainders of every byte with so many zero bytes behind it: 256 for each number of bytes behind."""
    first = np.arange(256, dtype=np.uint32) << 8
    for _ in range(8):
        first = np.where(first & 0x8000, (first << 1) ^ 0x8005, first << 1) & 0xFFFF
    table = np.zeros((USUAL_FRAME, 256), dtype=np.uint16)
    rest = table[0] = first
    for behind in range(1, USUAL_FRAME):
        rest = table[behind] = ((rest << 8) & 0xFFFF) ^ first[rest >> 8]
    return table.ravel()

"""Standard MIDI Files put together byte by byte, so that readers are tried on what other programs write."""

from __future__ import annotations


def quantity(amount: int) -> bytes:
    """A variable-length quantity (Standard MIDI File 1.1)."""
    groups = [amount & 0x7F]
    while amount := amount >> 7:
        groups.append(amount & 0x7F | 0x80)
    return bytes(reversed(groups))


def meta(delta: int, kind: int, data: bytes) -> bytes:
    """A meta event after `delta` ticks."""
    return quantity(delta) + bytes((0xFF, kind)) + quantity(len(data)) + data


def name(text: str) -> bytes:
    """A track's name."""
    return meta(0, 0x03, text.encode())


def on(delta: int, key: int, velocity: int = 64, channel: int = 0) -> bytes:
    """A key pressed after `delta` ticks."""
    return quantity(delta) + bytes((0x90 | channel, key, velocity))


def off(delta: int, key: int, channel: int = 0) -> bytes:
    """A key released after `delta` ticks."""
    return quantity(delta) + bytes((0x80 | channel, key, 64))


def held(length: int, *keys: int, wait: int = 0) -> bytes:
    """Keys one after the other, each held for `length` ticks, after a wait."""
    events = b""
    for key in keys:
        events += on(wait, key) + off(length, key)
        wait = 0
    return events


END = meta(0, 0x2F, b"")


def track(*events: bytes, end: bool = True) -> bytes:
    """A track chunk."""
    data = b"".join(events) + (END if end else b"")
    return b"MTrk" + len(data).to_bytes(4, "big") + data


def midi_file(*tracks: bytes, form: int = 1, division: int = 480) -> bytes:
    """A whole file."""
    header = form.to_bytes(2, "big") + len(tracks).to_bytes(2, "big") + (division & 0xFFFF).to_bytes(2, "big")
    return b"MThd" + (6).to_bytes(4, "big") + header + b"".join(tracks)

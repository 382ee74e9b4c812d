"""MIDI ports through pygame-ce, for versions of Python that python-rtmidi has no wheels for."""

from __future__ import annotations

import os
import threading
from collections.abc import Sequence
from contextlib import suppress
from typing import Final

from app.engine.midi_system import Heard, MidiIn, MidiOut, cannot_be_opened, named_apart, place_of
from core.song.errors import DeviceError
from core.song.wording import say

os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")

from pygame import midi

POLL_SECONDS: Final = 0.002
"""The library calls nobody; its input is looked at so often."""
READ_AT_ONCE: Final = 64


class PygameMidi:
    """The ports of the machine's MIDI system; raises DeviceError where no MIDI system answers."""

    missing = ""
    listing_disturbs = True

    def __init__(self) -> None:
        try:
            midi.init()
        except (midi.MidiException, RuntimeError, OSError) as error:
            raise DeviceError(
                say("This machine has no MIDI system running, so MIDI keyboards and ports are not heard.")
            ) from error

    def outputs(self) -> tuple[str, ...]:
        """Names of the ports that can be played to."""
        return tuple(name for name, _ in _devices(3))

    def inputs(self) -> tuple[str, ...]:
        """Names of the ports that can be listened to."""
        return tuple(name for name, _ in _devices(2))

    def open_output(self, name: str) -> MidiOut:
        """Open a port by name; raises DeviceError where it is not there or busy."""
        devices = _devices(3)
        number = devices[place_of(name, [known for known, _ in devices], "output")][1]
        try:
            return _Out(midi.Output(number), name)
        except (midi.MidiException, RuntimeError) as error:
            raise cannot_be_opened(name, "output") from error

    def open_input(self, name: str, heard: Heard) -> MidiIn:
        """Listen to a port by name; raises DeviceError where it is not there or busy."""
        devices = _devices(2)
        number = devices[place_of(name, [known for known, _ in devices], "input")][1]
        try:
            return _In(midi.Input(number), heard)
        except (midi.MidiException, RuntimeError) as error:
            raise cannot_be_opened(name, "input") from error

    def close(self) -> None:
        """Take leave of the MIDI system, all ports being closed."""
        midi.quit()


class _Out:
    def __init__(self, device: midi.Output, name: str) -> None:
        self._device = device
        self._name = name

    def send(self, message: Sequence[int]) -> None:
        status, first, second = (*message, 0, 0)[:3]
        try:
            self._device.write_short(status, first, second)
        except (midi.MidiException, RuntimeError) as error:
            raise DeviceError(
                say("The MIDI output “{name}” has gone; choose another or plug it in again.", name=self._name)
            ) from error

    def close(self) -> None:
        with suppress(midi.MidiException, RuntimeError):
            self._device.close()


class _In:
    def __init__(self, device: midi.Input, heard: Heard) -> None:
        self._device = device
        self._heard = heard
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._listen, name="midi input", daemon=True)
        self._thread.start()

    def close(self) -> None:
        self._over.set()
        self._thread.join()
        with suppress(midi.MidiException, RuntimeError):
            self._device.close()

    def _listen(self) -> None:
        with suppress(midi.MidiException, RuntimeError):
            while not self._over.wait(POLL_SECONDS):
                while self._device.poll():
                    for message, _ in self._device.read(READ_AT_ONCE):
                        if isinstance(message, list):
                            self._heard(message[:3])


def _devices(direction: int) -> list[tuple[str, int]]:
    """Name and number of each device of a direction: 2 in the library's list is input, 3 is output."""
    found = []
    for number in range(midi.get_count()):
        facts = midi.get_device_info(number)
        if facts is not None and facts[direction]:
            found.append((facts[1].decode("utf-8", "replace"), number))
    names = named_apart([name for name, _ in found])
    return list(zip(names, (number for _, number in found), strict=True))

"""MIDI ports through python-rtmidi."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Final, TypeVar

import rtmidi

from app.engine.midi_system import Heard, MidiIn, MidiOut, named_apart, place_of
from core.song.errors import DeviceError

_ADDRESS: Final = re.compile(r" \d+:\d+$")
"""ALSA ends its names in numbers that differ from day to day."""
_Device = TypeVar("_Device", rtmidi.MidiIn, rtmidi.MidiOut)


class RtMidi:
    """The ports of the machine's MIDI system; raises DeviceError where no MIDI system answers."""

    missing = ""

    def __init__(self) -> None:
        self._api = _answering_api()
        # A client that comes or goes has JACK order all of them anew.
        self.listing_disturbs = self._api == rtmidi.API_UNIX_JACK

    def outputs(self) -> tuple[str, ...]:
        """Names of the ports that can be played to."""
        return _asked(_made(rtmidi.MidiOut, self._api))

    def inputs(self) -> tuple[str, ...]:
        """Names of the ports that can be listened to."""
        return _asked(_made(rtmidi.MidiIn, self._api))

    def open_output(self, name: str) -> MidiOut:
        """Open a port by name; raises DeviceError where it is not there or busy."""
        device = _made(rtmidi.MidiOut, self._api)
        _open(device, name, "output")
        return _Out(device, name)

    def open_input(self, name: str, heard: Heard) -> MidiIn:
        """Listen to a port by name; raises DeviceError where it is not there or busy."""
        device = _made(rtmidi.MidiIn, self._api)
        _open(device, name, "input")
        device.set_callback(lambda message, _: heard(message[0]))
        return _In(device)

    def close(self) -> None:
        """Nothing: whoever asks for names takes leave at once, since a system may drop an idle client."""


class _Out:
    def __init__(self, device: rtmidi.MidiOut, name: str) -> None:
        self._device = device
        self._name = name

    def send(self, message: Sequence[int]) -> None:
        try:
            self._device.send_message(message)
        except (rtmidi.RtMidiError, OSError) as error:
            raise DeviceError(
                f"The MIDI output “{self._name}” has gone; choose another or plug it in again."
            ) from error

    def close(self) -> None:
        self._device.close_port()
        self._device.delete()


class _In:
    def __init__(self, device: rtmidi.MidiIn) -> None:
        self._device = device

    def close(self) -> None:
        self._device.cancel_callback()
        self._device.close_port()
        self._device.delete()


def _answering_api() -> int:
    for api in rtmidi.get_compiled_api():
        if api == rtmidi.API_RTMIDI_DUMMY:
            continue
        try:
            rtmidi.MidiOut(api).delete()
        except (rtmidi.RtMidiError, OSError):
            continue
        return api
    raise DeviceError("This machine has no MIDI system running, so MIDI keyboards and ports are not heard.")


def _made(kind: Callable[..., _Device], api: int) -> _Device:
    try:
        device = kind(api)
    except (rtmidi.RtMidiError, OSError) as error:
        raise DeviceError("The machine's MIDI system does not answer any more; start the program again.") from error
    device.set_error_callback(_say_nothing)
    return device


def _say_nothing(*_: object) -> None:
    """The library would print its troubles; those that matter come as exceptions."""


def _asked(device: rtmidi.MidiIn | rtmidi.MidiOut) -> tuple[str, ...]:
    names = _names(device)
    device.delete()
    return names


def _names(device: rtmidi.MidiIn | rtmidi.MidiOut) -> tuple[str, ...]:
    return named_apart([_ADDRESS.sub("", name) for name in device.get_ports()])


def _open(device: rtmidi.MidiIn | rtmidi.MidiOut, name: str, what: str) -> None:
    try:
        place = place_of(name, _names(device), what)
        device.open_port(place)
    except (rtmidi.RtMidiError, OSError) as error:
        device.delete()
        raise DeviceError(f"The MIDI {what} “{name}” cannot be opened; another program may be using it.") from error
    except DeviceError:
        device.delete()
        raise

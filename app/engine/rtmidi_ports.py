"""MIDI ports through python-rtmidi."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Final, TypeVar

import rtmidi

from app.engine.jack_watch import OWN_CLIENT, JackWatch, jack_library
from app.engine.midi_system import Direction, Heard, MidiIn, MidiOut, cannot_be_opened, named_apart, place_of
from core.song.errors import DeviceError
from core.song.wording import say

_ADDRESS: Final = re.compile(r" \d+:\d+$")
"""ALSA ends its names in numbers that differ from day to day."""
OWN_PORTS: Final = (f"{OWN_CLIENT}:", f"{OWN_CLIENT}-")
"""How the names of this program's own ports begin: of those after the first of a name, JACK counts the clients."""
_Device = TypeVar("_Device", rtmidi.MidiIn, rtmidi.MidiOut)


class RtMidi:
    """The ports of the machine's MIDI system; raises DeviceError where no MIDI system answers."""

    missing = ""

    def __init__(self) -> None:
        self._api = _answering_api()
        jack = self._api == rtmidi.API_UNIX_JACK
        library = jack_library() if jack else None
        self._watch = JackWatch(library) if library is not None else None
        self.listing_disturbs = jack and library is None
        self._left_open: list[rtmidi.MidiIn | rtmidi.MidiOut] = []

    def outputs(self) -> tuple[str, ...]:
        """Names of the ports that can be played to; raises DeviceError where the system does not answer any more."""
        return _shown(self._watch.outputs() if self._watch is not None else _asked(_made(rtmidi.MidiOut, self._api)))

    def inputs(self) -> tuple[str, ...]:
        """Names of the ports that can be listened to; raises DeviceError likewise."""
        return _shown(self._watch.inputs() if self._watch is not None else _asked(_made(rtmidi.MidiIn, self._api)))

    def open_output(self, name: str) -> MidiOut:
        """Open a port by name; raises DeviceError where it is not there, busy, or the system stands still."""
        self._see_that_it_answers(name)
        device = _made(rtmidi.MidiOut, self._api)
        _open(device, name, "output")
        return _Out(device, name, self)

    def open_input(self, name: str, heard: Heard) -> MidiIn:
        """Listen to a port by name; raises DeviceError likewise."""
        self._see_that_it_answers(name)
        device = _made(rtmidi.MidiIn, self._api)
        _open(device, name, "input")
        device.set_callback(lambda message, _: heard(message[0]))
        return _In(device, self)

    def stands_still(self) -> bool:
        """Whether the system answers nothing just now: whoever asks it for something waits until it goes on."""
        return self._watch is not None and self._watch.stands_still()

    def let_go(self, device: rtmidi.MidiIn | rtmidi.MidiOut) -> None:
        """Close a port; while the system stands still it is left open, since all of the engine would wait."""
        if self.stands_still():
            self._left_open.append(device)
            return
        device.close_port()
        device.delete()

    def close(self) -> None:
        """Take leave of the MIDI system, all ports being closed."""
        if self._watch is not None and not self.stands_still():
            self._watch.close()

    def _see_that_it_answers(self, name: str) -> None:
        if self.stands_still():
            raise DeviceError(
                say("The MIDI system does not answer any more, so “{name}” cannot be reached.", name=name)
            )
        left, self._left_open = self._left_open, []
        for device in left:
            self.let_go(device)


class _Out:
    def __init__(self, device: rtmidi.MidiOut, name: str, system: RtMidi) -> None:
        self._device = device
        self._name = name
        self._system = system

    def send(self, message: Sequence[int]) -> None:
        if self._system.stands_still():
            raise DeviceError(say("The MIDI output “{name}” does not answer any more.", name=self._name))
        try:
            self._device.send_message(message)
        except (rtmidi.RtMidiError, OSError) as error:
            raise DeviceError(
                say("The MIDI output “{name}” has gone; choose another or plug it in again.", name=self._name)
            ) from error

    def close(self) -> None:
        self._system.let_go(self._device)


class _In:
    def __init__(self, device: rtmidi.MidiIn, system: RtMidi) -> None:
        self._device = device
        self._system = system

    def close(self) -> None:
        self._device.cancel_callback()
        self._system.let_go(self._device)


def _answering_api() -> int:
    for api in rtmidi.get_compiled_api():
        if api == rtmidi.API_RTMIDI_DUMMY:
            continue
        try:
            rtmidi.MidiOut(api).delete()
        except (rtmidi.RtMidiError, OSError):
            continue
        return api
    raise DeviceError(say("This machine has no MIDI system running, so MIDI keyboards and ports are not heard."))


def _made(kind: Callable[..., _Device], api: int) -> _Device:
    try:
        device = kind(api, OWN_CLIENT)
    except (rtmidi.RtMidiError, OSError) as error:
        raise DeviceError(
            say("The machine's MIDI system does not answer any more; start the program again.")
        ) from error
    device.set_error_callback(_say_nothing)
    return device


def _say_nothing(*_: object) -> None:
    """The library would print its troubles; those that matter come as exceptions."""


def _asked(device: rtmidi.MidiIn | rtmidi.MidiOut) -> list[str]:
    names: list[str] = device.get_ports()
    device.delete()
    return names


def _shown(names: Sequence[str]) -> tuple[str, ...]:
    """Names as a teacher sees them, without this program's own ports."""
    return named_apart([_ADDRESS.sub("", name) for name in names if not name.startswith(OWN_PORTS)])


def _place(name: str, names: Sequence[str], what: Direction) -> int:
    """The number of a port that was chosen by the name shown; raises DeviceError where it is not there."""
    there = [place for place, known in enumerate(names) if not known.startswith(OWN_PORTS)]
    return there[place_of(name, _shown(names), what)]


def _open(device: rtmidi.MidiIn | rtmidi.MidiOut, name: str, what: Direction) -> None:
    try:
        device.open_port(_place(name, device.get_ports(), what), what)
    except (rtmidi.RtMidiError, OSError) as error:
        device.delete()
        raise cannot_be_opened(name, what) from error
    except DeviceError:
        device.delete()
        raise

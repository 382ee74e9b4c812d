"""MIDI ports, whatever library reaches them: what the engine asks for, and a machine that has none."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from typing import Final, Literal, Protocol

from core.song.errors import DeviceError
from core.song.wording import say

NOTE_OFF: Final = 0x80
NOTE_ON: Final = 0x90
CONTROL: Final = 0xB0
PROGRAM: Final = 0xC0
SUSTAIN: Final = 64
LOCAL_CONTROL: Final = 122
ALL_NOTES_OFF: Final = 123
"""Status bytes and controller numbers of MIDI 1.0."""
CHANNELS: Final = 16

Direction = Literal["output", "input"]
"""Whether a port is played to or listened to."""
Heard = Callable[[Sequence[int]], None]
"""Called with the bytes of each message that comes in, in a thread of the library's own."""


class MidiOut(Protocol):
    """An open port to play to."""

    def send(self, message: Sequence[int]) -> None:
        """Send the bytes of one message; raises DeviceError where the port has gone."""

    def close(self) -> None:
        """Let the port go."""


class MidiIn(Protocol):
    """An open port that is listened to."""

    def close(self) -> None:
        """Stop listening."""


class MidiSystem(Protocol):
    """The MIDI ports of a machine."""

    @property
    def missing(self) -> str:
        """Why there is no MIDI, in one sentence; empty where there is."""

    @property
    def listing_disturbs(self) -> bool:
        """Whether asking for names delays what is being sent."""

    def outputs(self) -> tuple[str, ...]:
        """Names of the ports that can be played to."""

    def inputs(self) -> tuple[str, ...]:
        """Names of the ports that can be listened to."""

    def open_output(self, name: str) -> MidiOut:
        """Open a port by name; raises DeviceError where it is not there or busy."""

    def open_input(self, name: str, heard: Heard) -> MidiIn:
        """Listen to a port by name; raises DeviceError where it is not there or busy."""

    def close(self) -> None:
        """Take leave of the MIDI system, all ports being closed."""


class NoMidi:
    """A machine without MIDI."""

    listing_disturbs = False

    def __init__(self, missing: str) -> None:
        self.missing = missing

    def outputs(self) -> tuple[str, ...]:
        """None."""
        return ()

    def inputs(self) -> tuple[str, ...]:
        """None."""
        return ()

    def open_output(self, name: str) -> MidiOut:  # noqa: ARG002 - the signature is the protocol's
        """Refuse."""
        raise DeviceError(self.missing)

    def open_input(self, name: str, heard: Heard) -> MidiIn:  # noqa: ARG002 - the signature is the protocol's
        """Refuse."""
        raise DeviceError(self.missing)

    def close(self) -> None:
        """Nothing."""


def midi_of_this_machine() -> MidiSystem:
    """The ports of this machine through the library that is installed."""
    try:
        from app.engine.rtmidi_ports import RtMidi

        return RtMidi()
    except ImportError:
        pass
    except DeviceError as error:
        return NoMidi(str(error))
    try:
        from app.engine.pygame_ports import PygameMidi

        return PygameMidi()
    except ImportError:
        version = f"{sys.version_info.major}.{sys.version_info.minor}"
        return NoMidi(
            say(
                "No MIDI ports: neither python-rtmidi nor pygame-ce is installed for Python {version}.", version=version
            )
        )
    except DeviceError as error:
        return NoMidi(str(error))


def named_apart(names: Sequence[str]) -> tuple[str, ...]:
    """Names of which no two are alike: the second of the same name ends in ``(2)``."""
    apart: list[str] = []
    for name in names:
        number, shown = 1, name
        while shown in apart:
            number += 1
            shown = f"{name} ({number})"
        apart.append(shown)
    return tuple(apart)


def place_of(name: str, names: Sequence[str], what: Direction) -> int:
    """Where a port is among those there are; raises DeviceError where it is not.

    A part of the name is enough where only one port has it: systems change the numbers at a name's end.
    """
    place = _place(name, names)
    if place is None:
        raise DeviceError(_not_there(name, names, what))
    return place


def is_there(name: str, names: Sequence[str]) -> bool:
    """Whether a port that was chosen by that name, or a part of it, is among those there are."""
    return _place(name, names) is not None


def cannot_be_opened(name: str, what: Direction) -> DeviceError:
    """The error for a port that is there and busy."""
    if what == "output":
        return DeviceError(
            say("The MIDI output “{name}” cannot be opened; another program may be using it.", name=name)
        )
    return DeviceError(say("The MIDI input “{name}” cannot be opened; another program may be using it.", name=name))


def _place(name: str, names: Sequence[str]) -> int | None:
    if name in names:
        return names.index(name)
    near = [place for place, known in enumerate(names) if name and name.casefold() in known.casefold()]
    return near[0] if len(near) == 1 else None


def _not_there(name: str, names: Sequence[str], what: Direction) -> str:
    known = ", ".join(names)
    if what == "output":
        if names:
            return say("The MIDI output “{name}” is not there; there are: {known}.", name=name, known=known)
        return say("The MIDI output “{name}” is not there; there is none at all.", name=name)
    if names:
        return say("The MIDI input “{name}” is not there; there are: {known}.", name=name, known=known)
    return say("The MIDI input “{name}” is not there; there is none at all.", name=name)

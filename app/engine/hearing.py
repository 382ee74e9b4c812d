"""Where what is played is heard: the built-in piano, a MIDI port, or nowhere."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from typing import Final, Protocol

from app.engine.midi_system import ALL_NOTES_OFF, CHANNELS, CONTROL, LOCAL_CONTROL, NOTE_OFF, NOTE_ON, SUSTAIN, MidiOut
from core.performance.schedule import CLICK_ACCENTED, PIANO_CHANNEL
from core.performance.scheduler import Due
from core.song.errors import DeviceError
from core.sound.piano import Piano

RELEASE_VELOCITY: Final = 64
"""Of a key let go, where nobody says how fast (MIDI 1.0)."""

LINGER_SECONDS: Final = 0.03
"""A MIDI system may send what it was given only with its next period; a port closed sooner would lose it."""


class Hearing(Protocol):
    """A place where notes are heard."""

    def play(self, due: Sequence[Due]) -> None:
        """Make events heard that have come due; raises DeviceError where the device has gone."""

    def press(self, midi: int, velocity: int, *, on: bool) -> None:
        """Press a key at once, or let it go; raises DeviceError where the device has gone."""

    def silence(self) -> None:
        """Let go of everything that sounds, whoever struck it; never fails."""

    def close(self) -> None:
        """Silence it and let the device go; never fails."""


class Nowhere:
    """Time passes and nothing is heard."""

    def play(self, due: Sequence[Due]) -> None:
        """Nothing."""

    def press(self, midi: int, velocity: int, *, on: bool) -> None:
        """Nothing."""

    def silence(self) -> None:
        """Nothing."""

    def close(self) -> None:
        """Nothing."""


class PortHearing:
    """A MIDI port. It knows every key that is down there, so that none is left sounding.

    Args:
        port: the open port.
        rest: lets seconds pass.
        local_off: whether the instrument's own keys are to be silent until the port is let go.
    """

    def __init__(self, port: MidiOut, rest: Callable[[float], None], *, local_off: bool = False) -> None:
        self._port = port
        self._rest = rest
        self._local_off = local_off
        if local_off:
            port.send((CONTROL | PIANO_CHANNEL, LOCAL_CONTROL, 0))
        self._down: set[tuple[int, int]] = set()
        self._channels: set[int] = {PIANO_CHANNEL}

    def play(self, due: Sequence[Due]) -> None:
        """Send events at once: the engine asks when their time has come."""
        for one in due:
            event = one.event
            if event.kind == "click":  # a percussion sound is over by itself, but some instruments hold it
                self._send(event.channel, event.midi, event.velocity)
                self._send(event.channel, event.midi, 0)
            elif event.kind == "pedal":
                self._channels.add(event.channel)
                self._port.send((CONTROL | event.channel, SUSTAIN, event.velocity))
            else:
                self._send(event.channel, event.midi, event.velocity if event.kind == "on" else 0)

    def press(self, midi: int, velocity: int, *, on: bool) -> None:
        """Send a key of the piano's channel."""
        self._send(PIANO_CHANNEL, midi, velocity if on else 0)

    def silence(self) -> None:
        """Let every key go one by one, then tell each channel that was used to let everything go."""
        with suppress(DeviceError):
            for channel, midi in sorted(self._down):
                self._port.send((NOTE_OFF | channel, midi, RELEASE_VELOCITY))
        self._down.clear()
        quieten(self._port, self._channels)

    def close(self) -> None:
        """Silence the port and let it go."""
        self.silence()
        if self._local_off:
            with suppress(DeviceError):
                self._port.send((CONTROL | PIANO_CHANNEL, LOCAL_CONTROL, 127))
        self._rest(LINGER_SECONDS)
        self._port.close()

    def _send(self, channel: int, midi: int, velocity: int) -> None:
        self._channels.add(channel)
        if velocity > 0:
            self._down.add((channel, midi))
            self._port.send((NOTE_ON | channel, midi, velocity))
        else:
            self._down.discard((channel, midi))
            self._port.send((NOTE_OFF | channel, midi, RELEASE_VELOCITY))


class PianoHearing:
    """The built-in piano. Events are placed by the frame.

    Attributes:
        piano: the piano.
        zero: time of its frame 0 by the engine's clock.
    """

    def __init__(self, piano: Piano) -> None:
        self.piano = piano
        self.zero = 0.0

    def play(self, due: Sequence[Due]) -> None:
        """Place events at their frames."""
        for one in due:
            event, frame = one.event, round((one.at - self.zero) * self.piano.sample_rate)
            if event.kind == "on":
                self.piano.note_on(event.midi, event.velocity, frame)
            elif event.kind == "off":
                self.piano.note_off(event.midi, frame)
            elif event.kind == "pedal":
                self.piano.pedal(event.velocity > 0, frame)
            else:
                self.piano.click(event.midi == CLICK_ACCENTED, event.velocity, frame)

    def press(self, midi: int, velocity: int, *, on: bool) -> None:
        """Strike a key with the next frame, or let it go."""
        self.piano.note_on(midi, velocity if on else 0, self.piano.frame)

    def silence(self) -> None:
        """Fade everything out, quickly and without a click."""
        self.piano.all_off()

    def close(self) -> None:
        """Fade everything out."""
        self.piano.all_off()


def quieten(port: MidiOut, channels: Sequence[int] | set[int] = tuple(range(CHANNELS))) -> None:
    """Lift the pedal and let everything go on some channels of a port; never fails."""
    with suppress(DeviceError):
        for channel in sorted(channels):
            port.send((CONTROL | channel, SUSTAIN, 0))
            port.send((CONTROL | channel, ALL_NOTES_OFF, 0))

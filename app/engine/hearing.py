"""Where what is played is heard: the built-in piano, or a MIDI port."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Sequence
from contextlib import suppress
from typing import Final

from app.engine.midi_system import (
    ALL_NOTES_OFF,
    CHANNELS,
    CONTROL,
    LOCAL_CONTROL,
    NOTE_OFF,
    NOTE_ON,
    PROGRAM,
    SUSTAIN,
    MidiOut,
)
from core.performance.output import Output
from core.performance.schedule import CLICK_ACCENTED, PIANO_CHANNEL, TimedEvent
from core.performance.scheduler import NEARLY, Due
from core.song.errors import DeviceError
from core.song.note import Hand
from core.sound.instrument import Instrument

RELEASE_VELOCITY: Final = 64
"""Of a key let go, where nobody says how fast (MIDI 1.0)."""

CALLS_KEPT: Final = 200
"""Calls of the card by which its clock is compared with the machine's: one or two seconds of them."""

LINGER_SECONDS: Final = 0.03
"""A MIDI system may send what it was given only with its next period; a port closed sooner would lose it."""


class PortHearing:
    """A MIDI port. It knows every key that is down there, so that none is left sounding.

    What is due is kept until its time has come and sent in order, so that no key comes up before it went down.

    Args:
        port: the open port.
        output: how it is played through.
        rest: lets seconds pass.
    """

    def __init__(self, port: MidiOut, output: Output, rest: Callable[[float], None]) -> None:
        self._port = port
        self._rest = rest
        self._output = Output(output.name)
        self._waiting: deque[tuple[float, TimedEvent]] = deque()
        self._last = float("-inf")
        self._down: dict[tuple[int, int], int] = {}
        self._channels: set[int] = set()
        self.take_up(output)

    @property
    def next_at(self) -> float | None:
        """When the next event is to be sent, in the engine's clock; None where none waits."""
        return self._waiting[0][0] if self._waiting else None

    def take_up(self, output: Output) -> None:
        """Play through it in this way from now on; raises DeviceError where the port has gone."""
        if output == self._output and self._channels:
            return
        if self._channels:
            self.silence()
        changed = output.local_off != self._output.local_off
        self._output = output
        self._hands = {hand: output.hand(hand).channel - 1 for hand in Hand}
        self._channels |= set(self._hands.values())
        if changed:
            self._set_local(on=not output.local_off)
        self.choose_programs()

    def choose_programs(self) -> None:
        """Say which sound each hand has there, where that is set; raises DeviceError where the port has gone."""
        for hand in Hand:
            program = self._output.hand(hand).program
            if program:
                self._port.send((PROGRAM | self._hands[hand], program - 1))

    def plan(self, due: Sequence[Due], shift: float) -> None:
        """Keep events until their time, `shift` seconds after the one they carry, but never before an earlier one's."""
        for one in due:
            self._last = max(self._last, one.at + shift)
            self._waiting.append((self._last, one.event))

    def send_until(self, now: float) -> None:
        """Send what has come due; raises DeviceError where the port has gone."""
        while self._waiting and self._waiting[0][0] <= now + NEARLY:
            self._send_event(self._waiting.popleft()[1])

    def press(self, midi: int, velocity: int, *, on: bool) -> None:
        """Send a key at once, on the right hand's channel; raises DeviceError where the port has gone."""
        self._send(PIANO_CHANNEL, self._hands[Hand.RIGHT], midi, velocity if on else 0)

    def silence(self) -> None:
        """Forget what waits, let every key go one by one, then each channel that was used; never fails."""
        self._waiting.clear()
        self._last = float("-inf")
        with suppress(DeviceError):
            for (_, midi), channel in sorted(self._down.items()):
                self._port.send((NOTE_OFF | channel, midi, RELEASE_VELOCITY))
        self._down.clear()
        quieten(self._port, self._channels)

    def close(self) -> None:
        """Silence the port and let it go; never fails."""
        self.silence()
        if self._output.local_off:
            with suppress(DeviceError):
                self._set_local(on=True)
        self._rest(LINGER_SECONDS)
        self._port.close()

    def _set_local(self, *, on: bool) -> None:
        for channel in sorted(set(self._hands.values())):
            self._port.send((CONTROL | channel, LOCAL_CONTROL, 127 if on else 0))

    def _send_event(self, event: TimedEvent) -> None:
        if event.kind == "pedal":
            hands = set(self._hands.values()) if event.channel == PIANO_CHANNEL else {event.channel}
            for channel in sorted(hands):
                self._port.send((CONTROL | channel, SUSTAIN, event.velocity))
            self._channels |= hands
            return
        channel = event.channel
        if channel == PIANO_CHANNEL:
            channel = self._hands[event.hand or Hand.RIGHT]
        if event.kind == "click":  # a percussion sound is over by itself, but some instruments hold it
            self._send(event.channel, channel, event.midi, event.velocity)
        self._send(event.channel, channel, event.midi, event.velocity if event.kind == "on" else 0)

    def _send(self, source: int, channel: int, midi: int, velocity: int) -> None:
        """Send a key; it comes up on the channel on which it went down, whichever hand lets it go."""
        key = source, midi
        if velocity > 0:
            if key in self._down:
                self._send(source, channel, midi, 0)
            self._channels.add(channel)
            self._down[key] = channel
            self._port.send((NOTE_ON | channel, midi, velocity))
        else:
            self._port.send((NOTE_OFF | self._down.pop(key, channel), midi, RELEASE_VELOCITY))


class PianoHearing:
    """The built-in piano. Events are placed by the frame, and its frames are a clock.

    Attributes:
        piano: the piano, or what sounds in its place.
        delay: seconds by which everything is placed later than it is due.
    """

    def __init__(self, piano: Instrument) -> None:
        self.piano = piano
        self.delay = 0.0
        self._zero = 0.0
        self._late: deque[float] = deque(maxlen=CALLS_KEPT)

    @property
    def now(self) -> float:
        """Time of the frame that is made next, in the engine's clock as its frames keep it."""
        return self._zero + self.piano.frame / self.piano.sample_rate

    def begin(self, now: float) -> None:
        """The next frame is made now."""
        self._zero = now - self.piano.frame / self.piano.sample_rate
        self._late.clear()

    def asked(self, now: float) -> None:
        """The card asks for frames: take down how far its time has run from the machine's."""
        self._late.append(now - self.now)

    def asked_at(self, at: float) -> float:
        """When, by the machine's clock, the card asks for a moment: calls come late at times, but never early."""
        return at + min(self._late, default=0.0)

    def play(self, due: Sequence[Due]) -> None:
        """Place events at their frames."""
        for one in due:
            event, frame = one.event, round((one.at + self.delay - self._zero) * self.piano.sample_rate)
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


def quieten(port: MidiOut, channels: Sequence[int] | set[int] = tuple(range(CHANNELS))) -> None:
    """Lift the pedal and let everything go on some channels of a port; never fails."""
    with suppress(DeviceError):
        for channel in sorted(channels):
            port.send((CONTROL | channel, SUSTAIN, 0))
            port.send((CONTROL | channel, ALL_NOTES_OFF, 0))

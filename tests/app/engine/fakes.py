"""A clock, a sound card and MIDI ports that the test holds in its hand."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from app.engine.engine import Engine
from app.engine.midi_system import Heard, MidiIn, MidiOut, place_of
from app.engine.protocol import ChooseOutputs, Command, Ended, Load, Position, Report, SentEvent, Trouble
from app.engine.sound_card import Fill, OpenCard
from core.performance.output import Output
from core.song.errors import DeviceError
from core.sound.bank import SampleBank
from core.sound.piano_model import RATE
from tests.core.sound.banks import sine_bank


@dataclass
class FakeClock:
    """Time that passes only when it is told to."""

    now: float = 1000.0

    def __call__(self) -> float:
        return self.now


@dataclass
class FakePort:
    """A MIDI port that writes down what it is sent, and when."""

    clock: FakeClock
    sent: list[tuple[float, tuple[int, ...]]] = field(default_factory=list)
    closed: bool = False
    broken: bool = False

    def send(self, message: Sequence[int]) -> None:
        if self.broken:
            raise DeviceError("The port has gone.")
        assert not self.closed
        self.sent.append((round(self.clock() - 1000.0, 6), tuple(message)))

    def close(self) -> None:
        self.closed = True

    @property
    def messages(self) -> list[tuple[int, ...]]:
        return [message for _, message in self.sent]


@dataclass
class FakeMidi:
    """A machine with MIDI ports of some names."""

    clock: FakeClock
    output_names: tuple[str, ...] = ("Keyboard", "Synth")
    input_names: tuple[str, ...] = ("Keyboard",)
    missing: str = ""
    opened: dict[str, list[FakePort]] = field(default_factory=dict)
    heard: Heard | None = None
    listing_disturbs: bool = False
    busy: set[str] = field(default_factory=set)

    def outputs(self) -> tuple[str, ...]:
        return self.output_names

    def inputs(self) -> tuple[str, ...]:
        return self.input_names

    def open_output(self, name: str) -> MidiOut:
        place_of(name, self.output_names, "output")
        if name in self.busy:
            raise DeviceError(f"The MIDI output “{name}” is busy.")
        port = FakePort(self.clock)
        self.opened.setdefault(name, []).append(port)
        return port

    def open_input(self, name: str, heard: Heard) -> MidiIn:
        place_of(name, self.input_names, "input")
        self.heard = heard
        return FakePort(self.clock)

    def close(self) -> None:
        assert all(port.closed for ports in self.opened.values() for port in ports)


@dataclass
class FakeCard:
    """A sound card that asks for sound when it is told to."""

    there: bool = True
    answers: bool = True
    queued_seconds: float = 0.04
    opened: int = 0
    closed: int = 0
    fill: Fill | None = None

    def open(self, fill: Fill, *, quick: bool = False) -> OpenCard:
        if not self.there:
            raise DeviceError("No sound card answers.")
        self.opened += 1
        self.queued_seconds = 0.01 if quick else 0.04
        self.answers = True
        self.fill = fill
        return self

    def close(self) -> None:
        self.closed += 1

    def ask(self, frames: int) -> NDArray[np.float32]:
        assert self.fill is not None
        return self.fill(frames)


class Bench:
    """An engine among fakes."""

    def __init__(self, *, card: bool = True, midi_missing: str = "", bank: SampleBank | None = None) -> None:
        self.clock = FakeClock()
        self.reports: list[Report] = []
        self.midi = FakeMidi(self.clock, missing=midi_missing)
        if midi_missing:
            self.midi.output_names = self.midi.input_names = ()
        self.card = FakeCard(there=card)
        self.bank = bank or prepared_bank()
        self.engine = Engine(self.reports.append, self.midi, self.card, self.bank, self.clock, self.rest)
        self.engine.start()

    def rest(self, seconds: float) -> None:
        """Time passes for the card alone: the engine itself is what rests."""
        if self.card.fill is not None and self.card.answers:
            self.card.ask(round(seconds * RATE))

    def do(self, *commands: Command) -> None:
        """Give commands; the thread that keeps time is woken by each."""
        for command in commands:
            self.engine.handle(command)
            self.engine.tick()

    def run(self, seconds: float, step: float = 0.005) -> NDArray[np.float32]:
        """Let time pass for everyone; what the card heard meanwhile."""
        heard = []
        for _ in range(round(seconds / step)):
            self.clock.now += step
            if self.card.fill is not None and self.card.answers:
                heard.append(self.card.ask(round(step * RATE)))
            self.engine.tick()
        return np.concatenate(heard) if heard else np.zeros((0, 2), dtype=np.float32)

    def port(self, name: str = "Synth") -> FakePort:
        return self.midi.opened[name][-1]

    @property
    def positions(self) -> list[Position]:
        return [report for report in self.reports if isinstance(report, Position)]

    @property
    def troubles(self) -> list[str]:
        return [report.message for report in self.reports if isinstance(report, Trouble)]

    @property
    def ended(self) -> list[int]:
        return [report.generation for report in self.reports if isinstance(report, Ended)]


def prepared_bank() -> SampleBank:
    bank = sine_bank(1.0)
    bank.prepare_all((60, 62, 64, 72))
    return bank


def two_notes(generation: int = 7, length: float = 1.0) -> Load:
    """A C for half the time and a D for the other half."""
    middle = length / 2
    events = (
        SentEvent(0.0, "on", 60, 80),
        SentEvent(middle, "off", 60, 0),
        SentEvent(middle, "on", 62, 70),
        SentEvent(length, "off", 62, 0),
    )
    return Load(generation, events, length)


def heard_through(name: str, *, local_off: bool = False) -> ChooseOutputs:
    """One output and no other."""
    return ChooseOutputs((Output(name, local_off=local_off),))


def wait_until(true: Callable[[], bool], seconds: float = 20.0) -> None:
    """Wait for something that another thread or process does; fails where it never comes."""
    limit = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < limit, "it did not happen in time"
        time.sleep(0.002)

"""An engine in another process, as whoever plays sees it: what to ask of it, and how it is started."""

from __future__ import annotations

import os
import sys
from abc import abstractmethod
from collections.abc import Iterable, Sequence
from itertools import count
from typing import Final

from app.engine.protocol import (
    ChooseInput,
    ChooseOutputs,
    ChooseSoundFont,
    Command,
    Exchange,
    Expect,
    Latency,
    Load,
    Loop,
    Play,
    PressKey,
    Record,
    Seek,
    SentNote,
    Silence,
    Speed,
    Stop,
    sent_events,
)
from app.resources import HOME
from core.performance.following import Meant
from core.performance.output import Output
from core.performance.schedule import Schedule

ARGUMENTS: Final = ("-m", "app.engine")

_generations = count(1)


def engine_program() -> list[str]:
    """The words that start an engine."""
    return [sys.executable, *ARGUMENTS]


def engine_environment() -> dict[str, str]:
    """The environment of an engine: this one's, and the program's own code to be found."""
    paths = (str(HOME), os.environ.get("PYTHONPATH", ""))
    return {**os.environ, "PYTHONPATH": os.pathsep.join(path for path in paths if path)}


class RemoteEngine:
    """What can be asked of an engine in another process; sending is the business of who derives from it."""

    def load(self, schedule: Schedule) -> int:
        """Take a whole schedule in the place of the one before, which stops; its generation."""
        generation = next(_generations)
        self.send(Load(generation, sent_events(schedule), schedule.length))
        return generation

    def exchange(self, schedule: Schedule, seconds: float) -> int:
        """Go on in a changed schedule at once, at a moment of it; its generation."""
        generation = next(_generations)
        self.send(Exchange(generation, sent_events(schedule), schedule.length, seconds))
        return generation

    def play(self) -> None:
        """Play on from where it is; from the end, begin again."""
        self.send(Play())

    def stop(self) -> None:
        """Stop where it is; everything that sounds is let go."""
        self.send(Stop())

    def seek(self, seconds: float) -> None:
        """Go to a moment of the schedule."""
        self.send(Seek(seconds))

    def loop(self, start: float, end: float) -> None:
        """Play a stretch again and again."""
        self.send(Loop(start, end))

    def loop_off(self) -> None:
        """Play on to the end."""
        self.send(Loop())

    def set_speed(self, factor: float) -> None:
        """Play faster or slower than the schedule says."""
        self.send(Speed(factor))

    def note(self, midi: int, velocity: int, *, on: bool) -> None:
        """Press a single key, or let it go."""
        self.send(PressKey(midi, velocity, on))

    def silence(self, ports: Sequence[str] = ()) -> None:
        """Stop and let everything go, on the ports named too."""
        self.send(Silence(tuple(ports)))

    def choose_outputs(self, outputs: Iterable[Output]) -> None:
        """Be heard through all of these at once, each with its channels, its programs and how late it sounds."""
        self.send(ChooseOutputs(tuple(outputs)))

    def choose_sound_font(self, path: str) -> None:
        """Have a SoundFont sound in place of the built-in piano; an empty path for the piano itself."""
        self.send(ChooseSoundFont(path))

    def choose_input(self, name: str, *, heard: bool = False) -> None:
        """Listen to a MIDI port by its name, an empty name for none; heard through the built-in piano or not."""
        self.send(ChooseInput(name, heard))

    def expect(self, notes: Iterable[Meant], *, wait: bool = False) -> None:
        """Follow a player through what is loaded; with `wait` the music holds at each note until it is played."""
        self.send(Expect(tuple(SentNote(note.seconds, note.midi, note.hand) for note in notes), wait))

    def set_latency(self, *, low: bool) -> None:
        """Queue little sound, so that a key is heard at once, or enough for a busy machine."""
        self.send(Latency(low))

    def record(self, folder: str, tempo: float = 0.0) -> None:
        """Write what is played in into a folder as it comes, an empty one for nowhere; `tempo` is the click's, or 0."""
        self.send(Record(folder, tempo))

    @abstractmethod
    def send(self, command: Command) -> None:
        """Send a command."""

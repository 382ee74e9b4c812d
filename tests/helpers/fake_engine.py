"""A playback engine that makes no sound and has no clock: it notes what it is told, and moves when told."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QObject, Signal

from core.performance.following import Meant
from core.performance.output import Output
from core.performance.schedule import Schedule


class FakeEngine(QObject):
    """Stands in for the engine's process under tests."""

    ready = Signal(object)
    ports = Signal(object)
    judged = Signal(object)
    key = Signal(int, int, bool, float)
    position = Signal(int, float, bool)
    ended = Signal(int)
    trouble = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.told: list[tuple[object, ...]] = []
        self.schedule = Schedule()
        self.generation = 0
        self.playing = False
        self.seconds = 0.0
        self.speed = 1.0
        self.looped: tuple[float, float] | None = None
        self.down: set[int] = set()
        self.closed = False
        self.outputs: tuple[Output, ...] = (Output("piano"),)
        self.sound_font = ""
        self.input = ""
        self.input_heard = False
        self.folder = ""
        self.click_tempo = 0.0
        self.meant: tuple[Meant, ...] = ()
        self.waits = False
        self.low_latency = False

    def load(self, schedule: Schedule) -> int:
        self.schedule, self.seconds, self.playing = schedule, 0.0, False
        self.generation += 1
        self.told.append(("load", self.generation))
        return self.generation

    def exchange(self, schedule: Schedule, seconds: float) -> int:
        self.schedule, self.seconds = schedule, seconds
        self.generation += 1
        self.told.append(("exchange", seconds))
        return self.generation

    def play(self) -> None:
        self.playing = True
        self.told.append(("play",))

    def stop(self) -> None:
        self.playing = False
        self.told.append(("stop",))

    def seek(self, seconds: float) -> None:
        self.seconds = seconds
        self.told.append(("seek", seconds))

    def loop(self, start: float, end: float) -> None:
        self.looped = (start, end)

    def loop_off(self) -> None:
        self.looped = None

    def set_speed(self, factor: float) -> None:
        self.speed = factor

    def note(self, midi: int, velocity: int, *, on: bool) -> None:  # noqa: ARG002 - the port has it
        if on:
            self.down.add(midi)
        else:
            self.down.discard(midi)
        self.told.append(("note", midi, on))

    def silence(self) -> None:
        self.playing = False
        self.down.clear()
        self.told.append(("silence",))

    def choose_outputs(self, outputs: Iterable[Output]) -> None:
        self.outputs = tuple(outputs)

    def choose_sound_font(self, path: str) -> None:
        self.sound_font = path

    def choose_input(self, name: str, *, heard: bool = False) -> None:
        self.input, self.input_heard = name, heard

    def expect(self, notes: Iterable[Meant], *, wait: bool = False) -> None:
        self.meant, self.waits = tuple(notes), wait

    def set_latency(self, *, low: bool) -> None:
        self.low_latency = low

    def record(self, folder: str, tempo: float = 0.0) -> None:
        self.folder, self.click_tempo = folder, tempo

    def close(self) -> None:
        self.closed, self.playing = True, False
        self.down.clear()

    def move_to(self, seconds: float) -> None:
        """Report a position, as the engine does thirty times a second."""
        self.seconds = seconds
        self.position.emit(self.generation, seconds, self.playing)

    def end(self) -> None:
        """Report that the schedule has been played."""
        self.playing = False
        self.ended.emit(self.generation)

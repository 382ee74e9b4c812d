"""The engine for the window: a process whose reports are signals, started again if it dies."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING, Final

import msgspec
from PySide6.QtCore import QObject, Signal

from app.engine.protocol import (
    ChooseInput,
    ChooseOutputs,
    ChooseSoundFont,
    Command,
    Ended,
    KeyJudged,
    KeyPlayed,
    Latency,
    Load,
    Ports,
    Position,
    Quit,
    Ready,
    Record,
    Report,
    Silence,
    Speed,
    Trouble,
    line_of,
    report_of,
)
from app.engine.remote import RemoteEngine, engine_environment, engine_program
from core.performance.output import NOTHING, PIANO
from core.song.wording import say

if TYPE_CHECKING:
    from PySide6.QtCore import QProcess

ENDING_MILLISECONDS: Final = 2_000
"""How long the engine may take to end before it is killed."""
MOST_STARTS: Final = 4
STARTS_WITHIN: Final = 60.0
"""An engine that dies so often within so many seconds is left alone until it is asked for something again."""


class QtEngine(QObject, RemoteEngine):
    """Starts the engine with the first command, or at `start`.

    Where the engine dies, the next one first silences the ports that were played to, then takes up the choices
    of output, input and speed again; what played has stopped, and `ended` says so.
    """

    ready = Signal(object)
    """A `Ready` report: the ports there are, whether the piano is heard, what is missing."""
    ports = Signal(object)
    """A `Ports` report: a port has come or gone."""
    position = Signal(int, float, bool)
    """Generation, seconds into the schedule, whether it plays; some 30 times a second."""
    ended = Signal(int)
    """The schedule of that generation has come to its end, or was broken off."""
    key = Signal(int, int, bool, float)
    """A key of the keyboard that is listened to: MIDI number, velocity, whether it went down, engine's seconds."""
    judged = Signal(object)
    """A `KeyJudged` report: what became of a key that was played, or of a note that was not."""
    trouble = Signal(str)
    """One sentence."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._process: QProcess | None = None
        self._unread = b""
        self._starts: list[float] = []
        self._load: Load | None = None
        self._output: ChooseOutputs | None = None
        self._input: ChooseInput | None = None
        self._speed: Speed | None = None
        self._record: Record | None = None
        self._latency: Latency | None = None
        self._sound_font: ChooseSoundFont | None = None
        self._ports: dict[str, None] = {}

    def start(self) -> None:
        """Start the engine, if it does not run."""
        if self._process is None:
            self._start_process()

    def send(self, command: Command) -> None:
        """Send a command, starting the engine for it where it does not run."""
        self._remember(command)
        self.start()
        self._write(command)

    def close(self) -> None:
        """Silence everything and end the engine."""
        process, self._process = self._process, None
        if process is None:
            return
        process.readyReadStandardOutput.disconnect(self._read)
        process.finished.disconnect(self._died)
        process.errorOccurred.disconnect(self._failed)
        process.write(line_of(Quit()))
        process.closeWriteChannel()
        if not process.waitForFinished(ENDING_MILLISECONDS):
            process.kill()
            process.waitForFinished(ENDING_MILLISECONDS)
        process.deleteLater()

    def _start_process(self) -> None:
        self._starts.append(time.monotonic())
        from PySide6.QtCore import QProcess, QProcessEnvironment

        process = QProcess(self)
        environment = QProcessEnvironment()
        for name, value in engine_environment().items():
            environment.insert(name, value)
        process.setProcessEnvironment(environment)
        process.setStandardErrorFile(QProcess.nullDevice())  # sound libraries chatter there
        process.readyReadStandardOutput.connect(self._read)
        process.finished.connect(self._died)
        process.errorOccurred.connect(self._failed)
        self._process, self._unread = process, b""
        program, *arguments = engine_program()
        process.start(program, arguments)

    def _write(self, command: Command) -> None:
        if self._process is not None:
            self._process.write(line_of(command))

    def _remember(self, command: Command) -> None:
        match command:
            case Load():
                self._load = command
            case ChooseOutputs():
                self._output = command
                self._ports |= dict.fromkeys(name for name in command.names if name not in (PIANO, NOTHING))
            case ChooseInput():
                self._input = command
            case Speed():
                self._speed = command
            case Record():
                self._record = command
            case Latency():
                self._latency = command
            case ChooseSoundFont():
                self._sound_font = command
            case _:
                pass

    def _read(self) -> None:
        if self._process is None:
            return
        *lines, self._unread = (self._unread + bytes(self._process.readAllStandardOutput().data())).split(b"\n")
        for line in lines:
            try:
                report = report_of(line)
            except msgspec.DecodeError:
                continue
            self._pass_on(report)

    def _pass_on(self, report: Report) -> None:
        match report:
            case Position():
                self.position.emit(report.generation, report.seconds, report.playing)
            case Ports():
                self.ports.emit(report)
            case Ended():
                self.ended.emit(report.generation)
            case KeyPlayed():
                self.key.emit(report.midi, report.velocity, report.on, report.time)
            case KeyJudged():
                self.judged.emit(report)
            case Trouble():
                self.trouble.emit(report.message)
            case Ready():
                self.ready.emit(report)
                if not report.sound and (self._output is None or PIANO in self._output.names):
                    self.trouble.emit(report.message)

    def _failed(self, error: QProcess.ProcessError) -> None:
        from PySide6.QtCore import QProcess

        if error is QProcess.ProcessError.FailedToStart:
            self._forget_process()
            self.trouble.emit(say("The player cannot be started, so nothing is heard; start the program again."))

    def _died(self) -> None:
        """Start another engine in the place of one that ended by itself, unless that happens too often."""
        self._read()
        self._forget_process()
        now = time.monotonic()
        self._starts = [start for start in self._starts if now - start < STARTS_WITHIN]
        if len(self._starts) >= MOST_STARTS:
            self._starts.clear()
            self.trouble.emit(say("The player ends again and again, so nothing is heard; start the program again."))
        else:
            self._start_process()
            self._write(Silence(tuple(self._ports)))
            choices = (self._latency, self._sound_font, self._record, self._output, self._input)
            for command in (*choices, self._load, self._speed):
                if command is not None:
                    self._write(command)
            self.trouble.emit(say("The player had stopped by itself and was started again."))
        if self._load is not None:
            self.ended.emit(self._load.generation)

    def _forget_process(self) -> None:
        process, self._process = self._process, None
        if process is not None:
            process.deleteLater()

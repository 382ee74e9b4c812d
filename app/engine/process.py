"""The engine's process: commands from standard input until it ends, reports on standard output."""

from __future__ import annotations

import os
import signal
import sys
import threading
from contextlib import suppress
from typing import Final

import msgspec

from app.engine.engine import Engine
from app.engine.midi_system import midi_of_this_machine
from app.engine.piano_samples import piano_samples
from app.engine.port_watch import PortWatch
from app.engine.protocol import Quit, Trouble, command_of
from app.engine.reporter import Reporter
from app.engine.sound_card import MiniaudioCard
from app.languages import speak_language
from core.song.errors import DeviceError
from core.song.wording import say

LAST_SECONDS: Final = 0.8
"""A process that has been told to end is gone after so long, whatever a device may do."""
SWITCH_SECONDS: Final = 0.0005
"""How soon a thread that wants to run gets its turn: notes are not to wait for Python's usual five milliseconds."""


def main() -> int:
    """Run until the commands end; the exit status."""
    sys.setswitchinterval(SWITCH_SECONDS)
    speak_language()
    _mind_signals()
    out = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())  # what libraries print must not come among the reports
    reporter = Reporter(out)
    try:
        engine = Engine(reporter.report, midi_of_this_machine(), MiniaudioCard(), piano_samples())
    except DeviceError as error:
        reporter.report(Trouble(str(error)))
        reporter.close()
        return 1
    reporter.when_broken(lambda: _end(engine))
    threading.Thread(target=engine.keep_time, name="time", daemon=True).start()
    with suppress(KeyboardInterrupt):
        engine.start()
        watch = PortWatch(engine.look_for_ports)
        _obey(engine, reporter)
        watch.close()
    _be_gone_in_time()
    engine.close()
    reporter.close()
    return 0


def _obey(engine: Engine, reporter: Reporter) -> None:
    """Hand commands to the engine as they come, until there are no more."""
    while line := sys.stdin.buffer.readline():
        try:
            command = command_of(line)
        except msgspec.DecodeError:
            reporter.report(Trouble(say("The player was told something that it does not understand.")))
            continue
        engine.handle(command)
        if isinstance(command, Quit):
            return


def _end(engine: Engine) -> None:
    """End from a thread other than the main one: nobody reads the reports any more."""
    _be_gone_in_time()
    engine.close()
    os._exit(0)


def _be_gone_in_time() -> None:
    watch = threading.Timer(LAST_SECONDS, os._exit, (1,))
    watch.daemon = True
    watch.start()


def _mind_signals() -> None:
    """The terminal's interrupt is for whoever started this; being told to end leaves no note sounding."""

    def told_to_end(*_: object) -> None:
        raise KeyboardInterrupt

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, told_to_end)

"""Playing a schedule from the command line, until it has ended."""

from __future__ import annotations

import queue
from typing import Final

from app.engine.client import EngineClient
from app.engine.protocol import Ended, Ready, Report, Trouble
from core.performance.output import PIANO
from core.performance.schedule import Schedule
from core.song.errors import DeviceError

START_SECONDS: Final = 30.0
"""How long an engine may take to start, on a machine that is very busy."""
RING_SECONDS: Final = 0.5
"""How long the last note may ring on."""


def play_schedule(schedule: Schedule, port: str | None = None) -> str:
    """Play to the end, through the built-in piano or a MIDI port; the name of what it was heard through.

    An interrupt stops it and leaves nothing sounding.

    Raises:
        DeviceError: no sound card answers, the port is not there, or either goes away while it plays.
    """
    reports: queue.SimpleQueue[Report | None] = queue.SimpleQueue()
    with EngineClient(reports.put, lambda: reports.put(None)) as engine:
        ready = _next(reports, START_SECONDS)
        if isinstance(ready, Ready) and port is None and not ready.sound:
            raise DeviceError(ready.message)
        if port is not None:
            engine.choose_output(port)
        generation = engine.load(schedule)
        engine.play()
        while True:
            report = _next(reports, None)
            if isinstance(report, Ended) and report.generation == generation:
                break
        if port is None:
            _let_ring(reports)
    return port or PIANO


def _next(reports: queue.SimpleQueue[Report | None], timeout: float | None) -> Report:
    """The next report; a trouble is raised."""
    try:
        report = reports.get(timeout=timeout)
    except queue.Empty:
        raise DeviceError("The player did not start in time; try again.") from None
    if report is None:
        raise DeviceError("The player ended unexpectedly; try again.")
    if isinstance(report, Trouble):
        raise DeviceError(report.message)
    return report


def _let_ring(reports: queue.SimpleQueue[Report | None]) -> None:
    try:
        while reports.get(timeout=RING_SECONDS) is not None:
            pass
    except queue.Empty:
        pass

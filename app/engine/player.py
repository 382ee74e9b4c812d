"""Playing a schedule from the command line, until it has ended."""

from __future__ import annotations

import queue
from collections.abc import Callable, Sequence
from typing import Final

from app.engine.client import EngineClient
from app.engine.protocol import Ended, Position, Ready, Report, Trouble
from core.performance.output import PIANO, Output
from core.performance.schedule import Schedule
from core.song.errors import DeviceError
from core.song.wording import say

START_SECONDS: Final = 30.0
"""How long an engine may take to start, on a machine that is very busy."""
RING_SECONDS: Final = 0.5
"""How long the last note may ring on."""


def play_schedule(
    schedule: Schedule,
    outputs: Sequence[Output] = (Output(PIANO),),
    *,
    sound_font: str = "",
    tell: Callable[[str], None] | None = None,
) -> str:
    """Play to the end; the names of what it was heard through.

    An interrupt stops it and leaves nothing sounding.

    Args:
        schedule: what is played.
        outputs: what it is heard through, all at once.
        sound_font: the path of a SoundFont that sounds in place of the piano.
        tell: called with a sentence where one of several outputs goes and playing goes on through the others.

    Raises:
        DeviceError: no sound card answers, a port is not there, or the only one goes away while it plays.
    """
    reports: queue.SimpleQueue[Report | None] = queue.SimpleQueue()
    with_piano = any(output.name == PIANO for output in outputs)
    with EngineClient(reports.put, lambda: reports.put(None)) as engine:
        ready = _next(reports, START_SECONDS)
        if isinstance(ready, Ready) and with_piano and len(outputs) == 1 and not ready.sound:
            raise DeviceError(ready.message)
        if sound_font:
            engine.choose_sound_font(sound_font)
        if tuple(outputs) != (Output(PIANO),):
            engine.choose_outputs(outputs)
        generation = engine.load(schedule)
        while not _is_loaded(_next(reports, None), generation):
            pass
        engine.play()
        while True:
            report = _next(reports, None, tell if len(outputs) > 1 else None)
            if isinstance(report, Ended) and report.generation == generation:
                break
        if with_piano or len(outputs) > 1:
            _let_ring(reports)
    return ", ".join(output.name for output in outputs)


def _is_loaded(report: Report, generation: int) -> bool:
    return isinstance(report, Position) and report.generation == generation


def _next(
    reports: queue.SimpleQueue[Report | None], timeout: float | None, tell: Callable[[str], None] | None = None
) -> Report:
    """The next report; a trouble is raised, or said where that is enough."""
    try:
        report = reports.get(timeout=timeout)
    except queue.Empty:
        raise DeviceError(say("The player did not start in time; try again.")) from None
    if report is None:
        raise DeviceError(say("The player ended unexpectedly; try again."))
    if isinstance(report, Trouble):
        if tell is not None:
            tell(report.message)
            return report
        raise DeviceError(report.message)
    return report


def _let_ring(reports: queue.SimpleQueue[Report | None]) -> None:
    try:
        while reports.get(timeout=RING_SECONDS) is not None:
            pass
    except queue.Empty:
        pass

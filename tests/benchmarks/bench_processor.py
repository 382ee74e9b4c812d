"""How much of a core the engine takes with 32 voices, and the window while it follows what plays.

Run by name: ``python -m tests.benchmarks.bench_processor``; the window's part needs jackd, and Xvfb for a real screen
(without it the window is painted where nobody sees it). ``--profile`` adds where the window's time goes.

*Engine*: the built-in piano, its sound going nowhere, with 32 keys of the whole keyboard held and each struck again
every two seconds, so that no voice ever falls silent; once without and once with the sustain pedal down, and once
resting. *Window*: the workbench at its usual size follows a demo song that loops through a MIDI port: playhead, keys
lit by hand and finger, and verdicts on what a player plays along, right and wrong, four keys a second. Each figure is
the processor time of the whole process, all threads, over `SECONDS` after `SETTLING` seconds.
"""

from __future__ import annotations

import argparse
import cProfile
import os
import pstats
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import cycle
from pathlib import Path

os.environ["PHRASEBENCH_SOUND"] = "null"

from app.engine.client import EngineClient
from app.engine.protocol import KeyJudged, Position, Report
from core.performance.schedule import PEDAL_DOWN, SUSTAIN, Schedule, TimedEvent
from tests.app.engine.fakes import wait_until
from tests.benchmarks.process_figures import processor_seconds
from tests.benchmarks.results import keep, show

SECONDS = 20.0
SETTLING = 4.0
TARGET = 15.0
VOICES = 32
LOWEST = 24
STEP = 2
AGAIN_SECONDS = 2.0


def voices(*, pedal: bool) -> Schedule:
    """All the voices there are, one after another struck again, for as long as it is measured."""
    length = SETTLING + SECONDS + 2
    events = [TimedEvent(0.0, "pedal", SUSTAIN, PEDAL_DOWN)] if pedal else []
    for voice in range(VOICES):
        at = voice * AGAIN_SECONDS / VOICES
        while at < length:
            midi = LOWEST + STEP * voice
            end = min(length, at + AGAIN_SECONDS - 0.01)
            events += [TimedEvent(at, "on", midi, 80), TimedEvent(end, "off", midi, 0)]
            at += AGAIN_SECONDS
    return Schedule(tuple(sorted(events, key=lambda event: (event.seconds, event.kind != "off"))), length)


def of_the_engine(schedule: Schedule | None) -> float:
    """Percent of a core."""
    reports: list[Report] = []
    with EngineClient(reports.append) as engine:
        wait_until(lambda: bool(reports))
        if schedule is not None:
            engine.load(schedule)
            engine.play()
            wait_until(lambda: any(isinstance(report, Position) and report.playing for report in reports), 60)
        time.sleep(SETTLING)
        began, used = time.perf_counter(), processor_seconds(engine.process_id)
        time.sleep(SECONDS)
        return 100 * (processor_seconds(engine.process_id) - used) / (time.perf_counter() - began)


@contextmanager
def screen() -> Iterator[str]:
    """A screen of its own where there can be one; how windows are shown."""
    if shutil.which("Xvfb") is None:
        os.environ["QT_QPA_PLATFORM"] = "offscreen"
        yield "offscreen"
        return
    there, told = os.pipe()
    command = ["Xvfb", "-displayfd", str(told), "-screen", "0", "1600x1000x24", "-nolisten", "tcp"]
    with subprocess.Popen(command, pass_fds=(told,), stderr=subprocess.DEVNULL) as server:
        os.close(told)
        with os.fdopen(there) as answer:
            os.environ.update(DISPLAY=f":{answer.readline().strip()}", QT_QPA_PLATFORM="xcb")
        try:
            yield "xcb"
        finally:
            server.terminate()


def of_the_window(profile: bool) -> dict[str, object]:
    """Percent of a core, and how much was shown meanwhile."""
    from PySide6.QtWidgets import QApplication

    from app.listen.piece import Piece
    from app.window.header import Workspace
    from tests.helpers.midi_patchbay import KEYBOARD, LISTENER, patchbay
    from tests.helpers.playing_window import playing_window
    from tests.helpers.songs import night_ferry

    application = QApplication.instance() or QApplication(sys.argv[:1])
    with patchbay() as ports, tempfile.TemporaryDirectory() as place:
        os.environ.update(ports.environment)
        with playing_window(night_ferry(), Path(place)) as opened:
            opened.settings.change(output=LISTENER, keyboard=KEYBOARD, again=True, own_hands="right")
            opened.window.show_workspace(Workspace.LISTEN)
            verdicts: list[KeyJudged] = []
            positions: list[float] = []
            opened.engine.judged.connect(verdicts.append)
            opened.engine.position.connect(lambda _generation, seconds, _playing: positions.append(seconds))
            opened.window.player.play(Piece("song"))
            keys = cycle(note.pitch.midi for part in opened.document.song.parts for note in part.melody)

            def play_along(seconds: float) -> None:
                until, again = time.perf_counter() + seconds, 0.0
                while (now := time.perf_counter()) < until:
                    if now > again:
                        again = now + 0.25
                        midi = next(keys)
                        ports.press(0x90, midi, 70)
                        ports.press(0x80, midi, 64)
                    application.processEvents()
                    time.sleep(0.002)

            play_along(SETTLING)
            verdicts.clear()
            positions.clear()
            began, used = time.perf_counter(), processor_seconds(os.getpid())
            engine = processor_seconds(opened.engine_process)
            profiler = cProfile.Profile()
            if profile:
                profiler.enable()
            play_along(SECONDS)
            profiler.disable()
            length = time.perf_counter() - began
            figures: dict[str, object] = {
                "window %": round(100 * (processor_seconds(os.getpid()) - used) / length, 1),
                "its engine %": round(100 * (processor_seconds(opened.engine_process) - engine) / length, 1),
                "positions a second": round(len(positions) / length, 1),
                "verdicts": len(verdicts),
            }
            if profile:
                pstats.Stats(profiler).sort_stats("tottime").print_stats(25)
            return figures


def main() -> int:
    """Print and keep the figures; the exit status says whether all are reached."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--profile", action="store_true")
    parser.add_argument("--window-only", action="store_true")
    wanted = parser.parse_args()
    engine: dict[str, float] = {}
    if not wanted.window_only:
        for name, schedule in (
            ("resting", None),
            (f"{VOICES} voices", voices(pedal=False)),
            (f"{VOICES} voices, pedal down", voices(pedal=True)),
        ):
            engine[name] = round(of_the_engine(schedule), 1)
            show(f"engine, {name:26} {engine[name]:6.1f} % of a core")
    with screen() as shown:
        window = of_the_window(wanted.profile)
    for name, figure in window.items():
        show(f"following, {name:23} {figure}")
    reached = all(figure <= TARGET for figure in (*engine.values(), float(str(window["window %"]))))
    if not (wanted.profile or wanted.window_only):
        keep("processor", {"to reach %": TARGET, "engine %": engine, "window, following": {"screen": shown, **window}})
    return 0 if reached else 1


if __name__ == "__main__":
    sys.exit(main())

"""How late MIDI events are, beside a bare sleep loop that sends through the same port to the same receiver.

Run by name: ``python -m tests.benchmarks.bench_lateness``; needs jackd. Both senders are processes of their own and
take turns, each run on a JACK server of its own with the dummy driver, which waits for clients that are late with
their period and so loses nothing. Each sends a note every 20 ms, `NOTES` in a round; the lateness of a note is when the
receiver heard it, less its place in the row, less the smallest such difference of its run; the 99th percentile of all
rounds counts.

*Idle*: nothing else is done; the engine plays for an idle program. *Window*: the real window repaints all of itself
without rest, its helper process computes the twelve keys of a song of 2,000 notes over and over, and the lesson is
saved four times a second; the engine is that window's own. The loop is in an idle process either way, once with the
busy window beside it and once without: the ratio is given against both.
"""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext
from pathlib import Path

from app.engine.client import EngineClient
from app.engine.protocol import Ended, Report
from app.resources import HOME
from core.performance.output import Output
from core.performance.schedule import Schedule, TimedEvent
from tests.app.engine.fakes import wait_until
from tests.benchmarks.results import keep, show
from tests.helpers.midi_patchbay import LISTENER, Patchbay, patchbay

NOTES = 500
STEP = 0.02
ROUNDS = 4
TARGET = 1.5
FIRST = 0.4
"""Seconds before the first note: a JACK port hears nothing of its first periods."""
SHORTEST_PERIOD = "64"
KEYS = range(36, 96)

SLEEP_LOOP = f"""
import sys, time, rtmidi
for attempt in range(50):  # a busy server may not take a client at once
    try:
        port = rtmidi.MidiOut(rtmidi.API_UNIX_JACK)
        port.open_port(next(number for number, name in enumerate(port.get_ports()) if sys.argv[1] in name))
        break
    except (OSError, StopIteration):
        time.sleep(0.2)
start = time.perf_counter() + {FIRST}
for number in range(int(sys.argv[2])):
    due = start + number * {STEP}
    while (left := due - time.perf_counter()) > 0:
        time.sleep(left)
    port.send_message((0x90, {KEYS.start} + number % {len(KEYS)}, 1 + number // {len(KEYS)}))
time.sleep(0.3)
port.delete()
"""


def row(notes: int) -> Schedule:
    """The notes of a run; each is let go half a step later."""
    events = []
    for number in range(notes):
        midi, at = KEYS.start + number % len(KEYS), FIRST + number * STEP
        events += [TimedEvent(at, "on", midi, 1 + number // len(KEYS)), TimedEvent(at + STEP / 2, "off", midi, 0)]
    return Schedule(tuple(events), FIRST + (notes + 1) * STEP)


def by_the_engine(notes: int) -> None:
    """Play the row through the engine of an idle program."""
    reports: list[Report] = []
    with EngineClient(reports.append) as engine:
        engine.choose_outputs((Output(LISTENER),))
        engine.load(row(notes))
        engine.play()
        wait_until(lambda: any(isinstance(report, Ended) for report in reports[-4:]), notes * STEP + 30)


def by_a_sleep_loop(notes: int) -> None:
    """Play the row through a bare sleep loop."""
    command = [sys.executable, "-c", SLEEP_LOOP, LISTENER, str(notes)]
    subprocess.run(command, check=True, cwd=HOME, stderr=subprocess.DEVNULL)


@contextmanager
def busy_window(notes: int) -> Iterator[Callable[[], None]]:
    """The window at its busiest; what is given plays the row through its engine."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "row"
        file.write_bytes(pickle.dumps(row(notes)))
        command = [sys.executable, "-m", "tests.benchmarks.busy_window", str(file)]
        pipe, nothing = subprocess.PIPE, subprocess.DEVNULL
        with subprocess.Popen(command, cwd=HOME, stdin=pipe, stdout=pipe, stderr=nothing, text=True) as process:
            commands, told = process.stdin, process.stdout
            assert commands is not None
            assert told is not None
            try:
                assert told.readline() == "busy\n"

                def play() -> None:
                    commands.write("play\n")
                    commands.flush()
                    assert told.readline() == "ended\n"

                yield play
                commands.close()
                show(f"{'':12} {'busy window':12} {told.read().strip()}")
            finally:
                process.kill()


def lateness(ports: Patchbay) -> list[float]:
    """Milliseconds of every note of the run just heard; key and velocity say which it is, since JACK may drop some."""
    strikes = [(when, message) for when, message in ports.heard if message[0] == 0x90 and message[2]]
    offsets = [when - (midi - KEYS.start + len(KEYS) * (velocity - 1)) * STEP for when, (_, midi, velocity) in strikes]
    return [1e3 * (offset - min(offsets)) for offset in offsets]


def percentile(values: list[float], part: float) -> float:
    """The value below which that part of them lies."""
    return sorted(values)[min(len(values) - 1, int(part * len(values)))]


def rounds_of(load: str, rounds: int, notes: int) -> dict[str, list[float]]:
    """Milliseconds of every note that was heard, by sender."""
    found: dict[str, list[float]] = {"sleep loop": [], "engine": []}
    for _ in range(rounds):
        for sender in found:
            with patchbay(SHORTEST_PERIOD) as ports:
                os.environ.update(ports.environment)
                beside = busy_window(notes) if load == "window" else nullcontext(lambda: by_the_engine(notes))
                with beside as by_its_engine:
                    ports.heard.clear()
                    if sender == "engine":
                        by_its_engine()
                    else:
                        by_a_sleep_loop(notes)
                    time.sleep(0.3)
                    found[sender] += lateness(ports)
    return found


def main() -> int:
    """Print and keep the table; the exit status says whether every ratio under the same load is reached."""
    figures: dict[str, object] = {"to reach": TARGET}
    show(f"{'':12} {'sender':12} {'notes':>8} {'lost':>8} {'median':>8} {'99 %':>8} {'worst':>8}")
    found = {load: rounds_of(load, ROUNDS, NOTES) for load in ("idle", "window")}
    reached = True
    for load, senders in found.items():
        lines = {
            sender: {
                "notes": len(values),
                "lost on the way": ROUNDS * NOTES - len(values),
                "median ms": round(percentile(values, 0.5), 2),
                "99 % ms": round(percentile(values, 0.99), 2),
                "worst ms": round(max(values), 2),
            }
            for sender, values in senders.items()
        }
        for sender, line in lines.items():
            show(f"{load:12} {sender:12} " + " ".join(f"{value:8}" for value in line.values()))
        late = percentile(senders["engine"], 0.99)
        same, idle = (late / percentile(found[beside]["sleep loop"], 0.99) for beside in (load, "idle"))
        show(f"{load:12} ratio {same:.2f} to a sleep loop beside the same, {idle:.2f} to one on an idle machine")
        figures[load] = {
            **lines,
            "ratio of the 99th percentiles": round(same, 2),
            "ratio to the sleep loop on an idle machine": round(idle, 2),
        }
        reached = reached and same <= TARGET
    keep("lateness", figures)
    return 0 if reached else 1


if __name__ == "__main__":
    sys.exit(main())

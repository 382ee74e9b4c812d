"""How late MIDI events are, beside a bare sleep loop that sends through the same port to the same receiver.

Run by name: ``python -m tests.benchmarks.bench_lateness``; needs jackd. Both senders are processes of their own and
take turns, each run on a JACK server of its own with the dummy driver. Each sends a note every 20 ms for `SECONDS`,
idle and then with a process beside it that never rests, as a long analysis does. The lateness of a note is when the
receiver heard it, less its place in the row, less the smallest such difference of its run. The 99th percentile of all
rounds counts; notes that JACK dropped because a client missed its period are counted beside it.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from statistics import median

from app.engine.client import EngineClient
from app.engine.protocol import Ended, Report
from app.resources import HOME
from core.performance.schedule import Schedule, TimedEvent
from tests.app.engine.fakes import wait_until
from tests.benchmarks.results import keep, show
from tests.helpers.midi_patchbay import LISTENER, Patchbay, patchbay

SECONDS = 10
STEP = 0.02
ROUNDS = 3
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
for number in range({round(SECONDS / STEP)}):
    due = start + number * {STEP}
    while (left := due - time.perf_counter()) > 0:
        time.sleep(left)
    port.send_message((0x90, {KEYS.start} + number % {len(KEYS)}, 1 + number // {len(KEYS)}))
time.sleep(0.3)
port.delete()
"""


def row() -> Schedule:
    """The notes of a run; each is let go half a step later."""
    events = []
    for number in range(round(SECONDS / STEP)):
        midi, at = KEYS.start + number % len(KEYS), FIRST + number * STEP
        events += [TimedEvent(at, "on", midi, 1 + number // len(KEYS)), TimedEvent(at + STEP / 2, "off", midi, 0)]
    return Schedule(tuple(events), FIRST + SECONDS + STEP)


def by_the_engine() -> None:
    """Play the row through the engine."""
    reports: list[Report] = []
    with EngineClient(reports.append) as engine:
        engine.choose_output(LISTENER)
        engine.load(row())
        engine.play()
        wait_until(lambda: any(isinstance(report, Ended) for report in reports[-4:]), SECONDS + 30)


def by_a_sleep_loop() -> None:
    """Play the row through a bare sleep loop."""
    subprocess.run([sys.executable, "-c", SLEEP_LOOP, LISTENER], check=True, cwd=HOME, stderr=subprocess.DEVNULL)


@contextmanager
def busy_neighbour() -> Iterator[None]:
    """A process that never rests."""
    process = subprocess.Popen([sys.executable, "-c", "while True: pass"])
    try:
        yield
    finally:
        process.kill()
        process.wait()


def lateness(ports: Patchbay) -> list[float]:
    """Milliseconds of every note of the run just heard; key and velocity say which it is, since JACK may drop some."""
    strikes = [(when, message) for when, message in ports.heard if message[0] == 0x90 and message[2]]
    offsets = [when - (midi - KEYS.start + len(KEYS) * (velocity - 1)) * STEP for when, (_, midi, velocity) in strikes]
    return [1e3 * (offset - min(offsets)) for offset in offsets]


def percentile(values: list[float], part: float) -> float:
    """The value below which that part of them lies."""
    return sorted(values)[min(len(values) - 1, int(part * len(values)))]


def main() -> int:
    """Print and keep the table."""
    figures: dict[str, object] = {"to reach": TARGET}
    show(f"{'':12} {'sender':12} {'notes':>8} {'lost':>8} {'median':>8} {'99 %':>8} {'worst':>8}")
    for load in ("idle", "busy"):
        found: dict[str, list[float]] = {"sleep loop": [], "engine": []}
        for _ in range(ROUNDS):
            for sender, play in (("sleep loop", by_a_sleep_loop), ("engine", by_the_engine)):
                with patchbay(SHORTEST_PERIOD) as ports:
                    os.environ.update(ports.environment)
                    with busy_neighbour() if load == "busy" else nullcontext():
                        play()
                    time.sleep(0.3)
                    found[sender] += lateness(ports)
        lines = {
            sender: {
                "notes": len(values),
                "lost on the way": ROUNDS * round(SECONDS / STEP) - len(values),
                "median ms": round(median(values), 2),
                "99 % ms": round(percentile(values, 0.99), 2),
                "worst ms": round(max(values), 2),
            }
            for sender, values in found.items()
        }
        for sender, line in lines.items():
            show(f"{load:12} {sender:12} " + " ".join(f"{value:8}" for value in line.values()))
        ratio = percentile(found["engine"], 0.99) / percentile(found["sleep loop"], 0.99)
        show(f"{load:12} {'ratio':12} {ratio:.2f}, to reach {TARGET}")
        figures[load] = {**lines, "ratio of the 99th percentiles": round(ratio, 2)}
    keep("lateness", figures)
    return 0


if __name__ == "__main__":
    sys.exit(main())

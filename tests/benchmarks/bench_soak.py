"""An hour of practising: whether memory stays flat, no note hangs, and nothing drifts.

Run by name: ``python -m tests.benchmarks.bench_soak --minutes 60``; needs jackd. ``--trace`` adds where in the window
memory has grown (tracemalloc, which itself takes memory and time).

The real window plays a part of a demo lesson again and again through a MIDI port, the metronome clicking, the teacher
playing along on a keyboard that is heard through the built-in piano (its sound goes nowhere) and recorded. Each minute
begins with half a minute of unrest: every second the speed changes, a note is renamed or that is taken back, or a hand
falls silent, and keys are played right and wrong. Then it loops undisturbed at a steady speed, and its strikes of one
key are held against a ruler of loops: drift is how far the last strike of the stretch lies from where the first says.
At the end of the minute it is stopped, and every key that a listener at the port still believes to be down is stuck.
Memory is looked at every ten seconds; its slope is fitted to what follows the first quarter of the run.
"""

from __future__ import annotations

import argparse
import os
import random
import sys
import tempfile
import time
import tracemalloc
from contextlib import ExitStack
from pathlib import Path
from statistics import mean

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("PHRASEBENCH_SOUND", "null")

from PySide6.QtWidgets import QApplication

from app.engine.protocol import KeyJudged
from app.listen.piece import Piece
from app.window.header import Workspace
from core.edits.rename_note import rename_note
from core.song.pitch import NoteName
from tests.benchmarks.process_figures import processor_seconds, resident_megabytes
from tests.benchmarks.results import keep, show
from tests.helpers.midi_patchbay import KEYBOARD, LISTENER, Patchbay, patchbay
from tests.helpers.playing_window import PlayingWindow, playing_window
from tests.helpers.songs import night_ferry

UNREST_SECONDS = 30.0
STEADY_SECONDS = 27.0
STEADY_PERCENT = 120
LOOK_SECONDS = 10.0
SETTLED = 0.25
"""Part of the run after which memory is expected to stand still."""
PART = 1
NOTE = 4
SAME_PLACE = 0.01
"""Part of a loop within which strikes of one key are of one place in it."""
PERIOD = "256"
"""Frames of the MIDI server: a strike is heard up to 5.3 ms late, whoever sends it."""
MOST_GROWTH = 2.0
"""Megabytes an hour that count as flat: what a system's own bookkeeping moves by."""


class Run:
    """One run, minute by minute."""

    def __init__(self, opened: PlayingWindow, ports: Patchbay, minutes: float) -> None:
        self.opened = opened
        self.ports = ports
        self.seconds = minutes * 60
        self.began = time.perf_counter()
        self.looked = self.began
        self.memory: list[tuple[float, float, float]] = []
        self.down: set[tuple[int, int]] = set()
        self.strikes: list[tuple[float, int]] = []
        self.drifts: list[float] = []
        self.counts = dict.fromkeys(("speed changes", "edits exchanged", "keys played", "verdicts", "notes"), 0)
        self.stuck = self.silent = 0
        self.troubles: list[str] = []
        self.chance = random.Random(7)
        opened.engine.judged.connect(self._judged)
        opened.engine.trouble.connect(self.troubles.append)

    def _judged(self, _: KeyJudged) -> None:
        self.counts["verdicts"] += 1

    def rest(self, seconds: float) -> None:
        """Let the window work for a while, and take in what is heard and what memory is held meanwhile."""
        until = time.perf_counter() + seconds
        while (now := time.perf_counter()) < until:
            QApplication.processEvents()
            self._hear()
            if now - self.looked >= LOOK_SECONDS:
                self.looked = now
                engine = resident_megabytes(self.opened.engine_process)
                self.memory.append((now - self.began, resident_megabytes(os.getpid()), engine))
            time.sleep(0.01)

    def _hear(self) -> None:
        heard = self.ports.heard
        for when, message in heard:
            kind, channel = message[0] & 0xF0, message[0] & 0x0F
            if kind == 0x90 and message[2]:
                self.down.add((channel, message[1]))
                self.strikes.append((when, message[1]))
                self.counts["notes"] += channel == 0
            elif kind in (0x80, 0x90):
                self.down.discard((channel, message[1]))
        heard.clear()

    def unrest(self) -> None:
        """Half a minute in which something changes all the time."""
        song = self.opened.document
        keys = [note.pitch.midi for note in song.song.parts[PART - 1].melody]
        until = time.perf_counter() + UNREST_SECONDS
        while time.perf_counter() < until:
            what = self.chance.choice(("speed", "edit", "hands", "key", "key", "key"))
            if what == "speed":
                self.opened.settings.change(speed=self.chance.randrange(30, 121))
                self.counts["speed changes"] += 1
            elif what == "edit":
                if song.undo_stack.canUndo():
                    song.undo_stack.undo()
                else:
                    assert song.apply(lambda before: rename_note(before, PART, NOTE, NoteName("A")), "edit")
                self.counts["edits exchanged"] += 1
            elif what == "hands":
                self.opened.settings.change(hands=self.chance.choice(("right", "left", "both")))
            else:
                midi = self.chance.choice((*keys, keys[0] + 1))
                self.ports.press(0x90, midi, 70)
                self.rest(0.15)
                self.ports.press(0x80, midi, 64)
                self.counts["keys played"] += 1
            self.rest(0.35)
        self.opened.settings.change(speed=STEADY_PERCENT, hands="both")
        if song.undo_stack.canUndo():
            song.undo_stack.undo()

    def steady(self) -> None:
        """Some loops undisturbed: how far the last is from where the first says that it should be."""
        self.rest(1.0)
        self.strikes.clear()
        self.rest(STEADY_SECONDS)
        song = self.opened.document.song
        part, tempo = song.parts[PART - 1], song.tempo
        loop = part.duration / song.metre_at(0).beat_ticks * 60 / tempo / (STEADY_PERCENT / 100)
        lowest = min(note.pitch.midi for note in part.notes)
        times = [when for when, midi in self.strikes if midi == lowest]
        offsets = [(when - times[0]) / loop - round((when - times[0]) / loop) for when in times]
        of_one_place = [1e3 * loop * offset for offset in offsets if abs(offset) < SAME_PLACE]
        if len(of_one_place) > 1:
            self.drifts.append(of_one_place[-1])
        self.silent += not times

    def go(self) -> None:
        """All of it."""
        opened = self.opened
        opened.settings.change(
            output=LISTENER, keyboard=KEYBOARD, keyboard_heard=True, again=True, metronome=True, own_hands="right"
        )
        opened.window.show_workspace(Workspace.LISTEN)
        self.rest(1.0)
        while time.perf_counter() - self.began < self.seconds:
            opened.window.player.play(Piece("part", PART))
            self.unrest()
            self.steady()
            opened.window.player.stop()
            self.rest(0.5)
            self.stuck += len(self.down)
            self.down.clear()


def slope(points: list[tuple[float, float]]) -> float:
    """Megabytes an hour of the line that lies closest to points of seconds and megabytes."""
    if len(points) < 2:
        return 0.0
    middle, height = mean(x for x, _ in points), mean(y for _, y in points)
    run = sum((x - middle) ** 2 for x, _ in points)
    return 3600 * sum((x - middle) * (y - height) for x, y in points) / run


def figures_of(run: Run, processor: tuple[float, float]) -> dict[str, object]:
    """What the run has shown."""
    length = time.perf_counter() - run.began
    settled = [look for look in run.memory if look[0] >= SETTLED * length]
    window = slope([(when, held) for when, held, _ in settled])
    engine = slope([(when, held) for when, _, held in settled])
    return {
        "minutes": round(length / 60, 1),
        "window MB first, last": [round(settled[0][1], 1), round(settled[-1][1], 1)],
        "window MB an hour": round(window, 2),
        "engine MB first, last": [round(settled[0][2], 1), round(settled[-1][2], 1)],
        "engine MB an hour": round(engine, 2),
        "flat up to MB an hour": MOST_GROWTH,
        **run.counts,
        "stuck notes": run.stuck,
        "minutes in which nothing was heard": run.silent,
        "drift ms, worst of the minutes": round(max(map(abs, run.drifts), default=0.0), 2),
        "drift ms, mean": round(mean(run.drifts), 2) if run.drifts else None,
        "of which the MIDI server's period ms": round(int(PERIOD) / 48, 2),
        "steady stretches": len(run.drifts),
        "window's processor %": round(100 * processor[0] / length, 1),
        "engine's processor %": round(100 * processor[1] / length, 1),
        "troubles said": run.troubles,
    }


def main() -> int:
    """Run, print and keep the figures; fails on a stuck note, and where nothing is heard any more."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--minutes", type=float, default=60)
    parser.add_argument("--trace", action="store_true")
    wanted = parser.parse_args()
    application = QApplication(sys.argv[:1])
    assert application is not None
    with ExitStack() as open_things:
        ports = open_things.enter_context(patchbay(PERIOD))
        os.environ.update(ports.environment)
        folder = Path(open_things.enter_context(tempfile.TemporaryDirectory()))
        opened = open_things.enter_context(playing_window(night_ferry(), folder))
        run = Run(opened, ports, wanted.minutes)
        before = (processor_seconds(os.getpid()), processor_seconds(opened.engine_process))
        if wanted.trace:
            run.rest(5.0)
            tracemalloc.start(10)
        first = tracemalloc.take_snapshot() if wanted.trace else None
        run.go()
        used = (
            processor_seconds(os.getpid()) - before[0],
            processor_seconds(opened.engine_process) - before[1],
        )
        figures = figures_of(run, used)
        if first is not None:
            for grown in tracemalloc.take_snapshot().compare_to(first, "lineno")[:15]:
                show(str(grown))
    for name, figure in figures.items():
        show(f"{name:34} {figure}")
    if not wanted.trace:
        keep("soak", figures)
    return 1 if run.stuck or run.silent else 0


if __name__ == "__main__":
    sys.exit(main())

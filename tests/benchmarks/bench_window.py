"""How long the window takes to open, and to show an edit.

Run by name: ``python -m tests.benchmarks.bench_window``, on an idle machine; ``--starts 30`` times more starts.

Opening: from the start of the process until the window with a lesson in it has been painted and answers, beside a bare
main window of the same library, in turns and as it is handed over into its environment; a first start of each, which is
not counted, lets Python keep what it has compiled. Finding the environment from outside is timed by itself.

Edits: a note renamed, a note made longer or shorter, a chord renamed, each in the first part of a song of 60 and of
2,000 notes in the open window, from the edit until everything that is in sight has been computed and painted anew.
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable
from functools import partial
from pathlib import Path
from statistics import median, quantiles
from typing import Protocol

from msgspec.structs import replace

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtWidgets import QApplication

from app.bootstrap.starting import PREPARED
from app.resources import HOME, demo_songs
from core.edits.rename_chord import rename_chord
from core.edits.rename_note import rename_note
from core.edits.resize_note import resize_note
from core.song.part import Part
from core.song.pitch import NoteName
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from core.theory.chord_symbols import parse_chord
from tests.benchmarks.results import keep, show
from tests.helpers.open_window import OpenWindow, open_window
from tests.helpers.songs import night_ferry

START_TARGET = 1.6
FRAME = 1 / 60
ROUNDS = 40
SIZES = (60, 2000)
NOTE, CHORD = 4, 0
"""The half note in the second bar of the first part, and the chord there."""


class Edit(Protocol):
    """A change, and the change back."""

    def __call__(self, song: Song, back: bool) -> Song:
        """The song changed, or changed back."""


EDITS: dict[str, Edit] = {
    "note renamed": lambda song, back: rename_note(song, 1, NOTE, NoteName("A" if back else "B")),
    "note made longer or shorter": lambda song, back: resize_note(
        song, 1, NOTE, (2 if back else 1) * TICKS_PER_QUARTER
    ),
    "chord renamed": lambda song, back: rename_chord(song, 1, CHORD, parse_chord("Em" if back else "C")),
}


def started(surroundings: dict[str, str], *file: str) -> tuple[float, float]:
    """Seconds from a process's start until its window is usable, and until it is at rest."""
    began = time.clock_gettime(time.CLOCK_MONOTONIC)
    command = [sys.executable, "-m", "tests.benchmarks.window_start", str(began), *file]
    told = subprocess.run(command, env=surroundings, cwd=HOME, check=True, capture_output=True, text=True).stdout
    usable, at_rest = map(float, told.split()[:2])
    return usable, at_rest


def timed(command: list[str], surroundings: dict[str, str]) -> float:
    """Seconds that a command takes."""
    began = time.perf_counter()
    subprocess.run(command, env=surroundings, cwd=HOME, check=True, capture_output=True)
    return time.perf_counter() - began


def starts(rounds: int) -> dict[str, object]:
    """Times of starts, in turns."""
    lesson = str(demo_songs()[0])
    with tempfile.TemporaryDirectory() as place:
        surroundings = {**os.environ, "XDG_CONFIG_HOME": place, PREPARED: "1"}
        surroundings.pop("PYTHONDONTWRITEBYTECODE", None)
        started(surroundings)
        started(surroundings, lesson)
        bare, ours = [], []
        for _ in range(rounds):
            bare.append(started(surroundings))
            ours.append(started(surroundings, lesson))
        outside = shutil.which("python3", path=os.defpath) or sys.executable
        finding = [
            timed([outside, "-m", "app", "--version"], surroundings)
            - timed([sys.executable, "-m", "app", "--version"], surroundings)
            for _ in range(rounds)
        ]
    ratio = median(usable for usable, _ in ours) / median(usable for usable, _ in bare)
    return {
        "bare window ms": milliseconds(usable for usable, _ in bare),
        "window with a lesson ms": milliseconds(usable for usable, _ in ours),
        "at rest ms": milliseconds(rest for _, rest in ours),
        "finding the environment ms": milliseconds(finding),
        "ratio": round(ratio, 2),
        "to reach": START_TARGET,
        "starts": rounds,
    }


def song_of(notes: int) -> Song:
    """A demo song's parts over and over, every one an object of its own, until there are so many notes."""
    song, count = night_ferry(), 0
    parts: list[Part] = []
    while count < notes:
        part = song.parts[len(parts) % len(song.parts)]
        parts.append(replace(part))
        count += len(part.notes)
    return replace(song, parts=tuple(parts), playing_order=())


def settle(opened: OpenWindow) -> None:
    """Deal with everything that waits, the facts of the whole song included."""
    until = time.perf_counter() + 0.4
    while time.perf_counter() < until or opened.window.header.is_waiting:
        QApplication.processEvents()


def edit_times(opened: OpenWindow, edit: Edit) -> list[float]:
    """Seconds from an edit until it has been painted."""
    times = []
    for number in range(ROUNDS):
        back = bool(number % 2)
        began = time.perf_counter()
        assert opened.document.apply(partial(edit, back=back), "edit")
        QApplication.processEvents()
        times.append(time.perf_counter() - began)
    return times


def edits() -> dict[str, dict[str, tuple[float, float]]]:
    """Times of edits in songs of several sizes."""
    application = QApplication.instance() or QApplication(sys.argv[:1])
    assert application is not None
    figures = {}
    for size in SIZES:
        with tempfile.TemporaryDirectory() as place, open_window(song_of(size), Path(place)) as opened:
            settle(opened)
            found = {}
            for name, edit in EDITS.items():
                times = edit_times(opened, edit)
                found[name] = (milliseconds(times), round(quantiles(times, n=10)[-1] * 1e3, 1))
                settle(opened)
            figures[f"{size} notes"] = found
    return figures


def milliseconds(seconds: Iterable[float]) -> float:
    """The median of times in seconds, as milliseconds."""
    return round(median(seconds) * 1e3, 1)


def main() -> int:
    """Print and keep the tables."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--starts", type=int, default=15)
    rounds = parser.parse_args().starts
    opening, editing = starts(rounds), edits()
    for name, figure in opening.items():
        show(f"{name:32} {figure}")
    show()
    show(f"{'edit until painted':32} {'':12} {'median':>8} {'p90':>8}   one frame {FRAME * 1e3:.1f} ms")
    for size in SIZES:
        for name, (usual, slow) in editing[f"{size} notes"].items():
            show(f"{name:32} {size:6} notes {usual:6.1f}ms {slow:6.1f}ms")
    kept = {
        size: {name: {"median ms": usual, "p90 ms": slow} for name, (usual, slow) in found.items()}
        for size, found in editing.items()
    }
    platform = os.environ["QT_QPA_PLATFORM"]
    keep("window", {"platform": platform, "opening": opening, "edits": {"one frame ms": round(FRAME * 1e3, 1), **kept}})
    return 0


if __name__ == "__main__":
    sys.exit(main())

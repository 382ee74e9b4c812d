"""How long the list of songs takes with ten thousand lessons, and how it holds the window up while a folder is read.

Run by name: ``python -m tests.benchmarks.bench_songs``. A figure is the time on the clock, and the processor's, from
one thing done (Songs opened, a letter typed, a column sorted by, all selected) until everything in sight has been
painted anew. The first reading of a folder happens in the helper process; what counts there is the longest turn of the
window's event loop meanwhile.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from statistics import quantiles

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.songs.song_entry import describe_lesson
from app.songs.song_index import INDEX_NAME, SongIndex
from app.songs.song_reading import folder_news
from app.window.header import Workspace
from core.formats.lesson_file import LessonFile
from core.song.standing import STATES
from tests.benchmarks.results import keep, show
from tests.helpers.open_window import OpenWindow, open_window
from tests.helpers.songs import DEMO_SONGS

LESSONS = 10_000
READ = 400
"""Lessons of the folder that is read for the first time."""
SIZE = (1280, 720)
TYPED = "Lantern"
WORDS = ("Lantern", "Harbour", "Willow")
THOUSAND = 1000


def fill(folder: Path, lessons: int, index_path: Path | None) -> None:
    """Write lesson files, every two of one title; with a path, the index that reading them would leave."""
    songs = [song() for song in DEMO_SONGS.values()]
    folder.mkdir()
    entries = []
    for song in songs:
        path = folder.parent / "one.lesson"
        path.write_bytes(LessonFile().write(path.name, song))
        entries.append(describe_lesson(str(path)))
    whole = [LessonFile().write("one.lesson", song) for song in songs]
    described = []
    for number in range(lessons):
        path, title = (
            folder / f"{number:05}.lesson",
            f"{('Lantern', 'Harbour', 'Willow')[number % 7 % 3]} {number // 2}",
        )
        path.write_bytes(whole[number % 3])
        found = path.stat()
        entry = replace(entries[number % 3], path=str(path), title=title, state=STATES[number % 4])
        described.append((entry, (found.st_mtime_ns, found.st_size)))
    if index_path is not None:
        index = SongIndex(index_path)
        index.put(described)
        index.close()
        assert folder_news(str(index_path), str(folder)).changed == ()


def timed(does: Callable[[], object]) -> tuple[float, float]:
    """Milliseconds on the clock, and of the processor, from something done until it has been painted."""
    began, worked = time.perf_counter(), time.process_time()
    does()
    QApplication.processEvents()
    return (time.perf_counter() - began) * 1e3, (time.process_time() - worked) * 1e3


def wait_until_read(opened: OpenWindow) -> list[tuple[float, float]]:
    """What each turn of the event loop took until the folder was read, as `timed` has it."""
    turns = []
    while opened.window.songs.is_reading:
        turns.append(timed(lambda: None))
        time.sleep(0.001)
    return turns


def longest_of(turns: list[tuple[float, float]]) -> tuple[float, float]:
    """The longest turn by the clock."""
    return max(turns, default=(0.0, 0.0))


def measure_list(opened: OpenWindow) -> dict[str, tuple[float, float]]:
    """What is done in a list of ten thousand."""
    found = {"Songs opened": timed(lambda: opened.window.show_workspace(Workspace.SONGS))}
    found["longest turn then"] = longest_of(wait_until_read(opened))
    view = opened.window.songs
    assert view.table.rowCount() == LESSONS
    for letter in TYPED:
        found[f"“{letter}” typed"] = timed(partial(QTest.keyClicks, view.filter, letter))
    found["filter cleared"] = timed(view.filter.clear)
    found["sorted by effort"] = timed(lambda: view.list.sortByColumn(4, Qt.SortOrder.DescendingOrder))
    found["sorted by title"] = timed(lambda: view.list.sortByColumn(0, Qt.SortOrder.AscendingOrder))
    found["state chosen"] = timed(lambda: view.state.setCurrentIndex(2))
    found["any state"] = timed(lambda: view.state.setCurrentIndex(0))
    found["chord typed"] = timed(lambda: QTest.keyClicks(view.chords.field, "G"))
    found["chord cleared"] = timed(view.chords.field.clear)
    found["all selected"] = timed(view.list.selectAll)
    found["gone to the end"] = timed(lambda: QTest.keyClick(view.list, Qt.Key.Key_End))
    found["a page up"] = timed(lambda: QTest.keyClick(view.list, Qt.Key.Key_PageUp))
    opened.window.show_workspace(Workspace.DRAFT)
    QApplication.processEvents()
    found["Songs opened again"] = timed(lambda: opened.window.show_workspace(Workspace.SONGS))
    found["longest turn again"] = longest_of(wait_until_read(opened))
    return found


def main() -> int:
    """Print and keep the tables."""
    application = QApplication.instance() or QApplication(sys.argv[:1])
    assert application is not None
    song = DEMO_SONGS["night_ferry"]()
    with tempfile.TemporaryDirectory() as place, open_window(song, Path(place) / "own", SIZE) as opened:
        folder = Path(place) / "songs"
        fill(folder, LESSONS, Path(place) / "own" / INDEX_NAME)
        opened.settings.change(folder=str(folder))
        listed = measure_list(opened)
        for name, (clock, worked) in listed.items():
            show(f"{LESSONS} lessons  {name:20} {clock:7.1f} ms  processor {worked:7.1f} ms")
    with tempfile.TemporaryDirectory() as place, open_window(song, Path(place) / "own", SIZE) as opened:
        folder = Path(place) / "songs"
        fill(folder, READ, None)
        opened.settings.change(folder=str(folder))
        opened.window.show_workspace(Workspace.SONGS)
        began = time.perf_counter()
        turns = [clock for clock, _ in wait_until_read(opened)]
        seconds = time.perf_counter() - began
        assert opened.window.songs.table.rowCount() == READ
    late = quantiles(turns, n=THOUSAND)[-1]
    show(f"{READ} lessons read in {seconds:.1f} s; longest turn {max(turns):.1f} ms, 999 of 1000 under {late:.1f} ms")
    reading = {"lessons": READ, "seconds": round(seconds, 1), "longest ms": round(max(turns), 1)}
    figures = {
        name: {"ms": round(clock, 1), "processor ms": round(worked, 1)} for name, (clock, worked) in listed.items()
    }
    keep("songs", {"lessons": LESSONS, "list": figures, "first reading": reading})
    return 0


if __name__ == "__main__":
    sys.exit(main())

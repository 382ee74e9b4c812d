"""How smoothly the lesson sheet scrolls, follows, selects and drags with 60 and with 2,000 notes in it.

Run by name: ``python -m tests.benchmarks.bench_sheet``. Each figure is the processor's time, which other work on
the machine does not lengthen much, from one thing done
(a turn of the wheel, a page, a step of the playing position, a step of a selection, a move of the mouse in a drag)
until everything in sight has been computed and painted anew; at 60 frames a second a frame is 16.7 ms. The first
passage through a song computes and draws every row when it comes into sight; the second finds them there.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from statistics import median, quantiles

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.widgets.selection import Kind, Place
from app.window.garbage import put_aside
from core.song.time import TICKS_PER_QUARTER
from tests.benchmarks.bench_window import FRAME, SIZES, settle, song_of
from tests.benchmarks.results import keep, show
from tests.helpers.open_window import OpenWindow, open_window
from tests.helpers.sheet_hands import LEFT, SheetHands, move_mouse

LONG = 2000
SIZE = (1920, 1080)
WHEEL = 120
"""Pixels of a turn of the wheel."""
STEPS = 120
HUNDREDTHS = 100


def frame(does: Callable[[], object]) -> float:
    """Milliseconds of work from something done until it has been painted."""
    began = time.process_time()
    does()
    QApplication.processEvents()
    return (time.process_time() - began) * 1e3


def scrolled(opened: OpenWindow, pixels: int) -> list[float]:
    """Frames of scrolling through the whole song by so many pixels each."""
    bar = opened.window.page.sheet.verticalScrollBar()
    bar.setValue(0)
    settle(opened)
    times = []
    while bar.value() < bar.maximum():
        times.append(frame(lambda: bar.setValue(bar.value() + pixels)))
    return times


def followed(opened: OpenWindow) -> list[float]:
    """Frames of the dotted line moving through a part and on into the next ones."""
    sheet, song = opened.window.page.sheet, opened.song
    moments = [(part, tick) for part in range(40, 44) for tick in range(0, song.parts[part - 1].duration, 2520)]
    return [frame(partial(sheet.show_position, *at)) for at in moments]


def walked(opened: OpenWindow) -> list[float]:
    """Frames of the selection going from note to note."""
    opened.window.selection.select(Place(20, Kind.NOTE, 0))
    settle(opened)
    return [frame(lambda: QTest.keyClick(opened.window.page.sheet, Qt.Key.Key_Right)) for _ in range(STEPS)]


def dragged(opened: OpenWindow) -> list[float]:
    """Frames of a note dragged to and fro."""
    hands = SheetHands(opened)
    opened.window.selection.select(Place(2, Kind.NOTE, 0))
    settle(opened)
    row, start = hands.row(2), hands.point("note", 2, 0)
    return list(_moves(row, start, lambda step: QPoint(0, -6 * (1 + step % 5))))


def wire_dragged(opened: OpenWindow) -> list[float]:
    """Frames of the end of the longest note's wire in a part dragged to and fro, each half a beat further back."""
    hands = SheetHands(opened)
    notes = opened.song.parts[1].notes
    longest = max(range(len(notes)), key=lambda index: notes[index].duration)
    opened.window.selection.select(Place(2, Kind.NOTE, longest))
    settle(opened)
    row, start = hands.row(2), hands.point("wire-end", 2, longest)
    half = row.layout_of_row.pixels_per_tick * TICKS_PER_QUARTER / 2 * row.height() / row.picture.height
    return list(_moves(row, start, lambda step: QPoint(-round(half * (1 + step % 3)), 0)))


def cut_dragged(opened: OpenWindow) -> list[float]:
    """Frames of a cut dragged to and fro, each a beat further."""
    sheet = opened.window.page.sheet
    opened.window.selection.select(Place(2))
    settle(opened)
    row = sheet.rows[0]
    beat = row.layout_of_row.pixels_per_tick * TICKS_PER_QUARTER * row.height() / row.picture.height
    handle = sheet.cuts[0]
    return list(_moves(handle, handle.rect().center(), lambda step: QPoint(-round(beat * (1 + step % 4)), 0)))


def _moves(widget: object, start: QPoint, by: Callable[[int], QPoint]) -> Iterator[float]:
    from PySide6.QtWidgets import QWidget

    assert isinstance(widget, QWidget)
    on_screen = widget.mapToGlobal(start)
    QTest.mousePress(widget, LEFT, pos=start)
    for step in range(STEPS):
        yield frame(partial(move_mouse, widget, on_screen + by(step), Qt.KeyboardModifier.NoModifier))
    QTest.keyClick(widget, Qt.Key.Key_Escape)


MEASURES: tuple[tuple[str, Callable[[OpenWindow], list[float]]], ...] = (
    ("note dragged", dragged),
    ("wire dragged", wire_dragged),
    ("cut dragged", cut_dragged),
)
LONG_MEASURES: tuple[tuple[str, Callable[[OpenWindow], list[float]]], ...] = (
    ("wheel, first passage", partial(scrolled, pixels=WHEEL)),
    ("wheel, second passage", partial(scrolled, pixels=WHEEL)),
    ("page by page", partial(scrolled, pixels=SIZE[1] // 2)),
    ("playing position", followed),
    ("note to note", walked),
    *MEASURES,
)


def figures_of(times: list[float]) -> dict[str, float]:
    """How long frames took."""
    hundredths = quantiles(times, n=HUNDREDTHS)
    return {
        "frames": len(times),
        "median ms": round(median(times), 1),
        "p90 ms": round(hundredths[89], 1),
        "p99 ms": round(hundredths[98], 1),
        "longest ms": round(max(times), 1),
        "late": sum(each > FRAME * 1e3 for each in times),
    }


def main() -> int:
    """Print and keep the tables."""
    application = QApplication.instance() or QApplication(sys.argv[:1])
    assert application is not None
    kept: dict[str, dict[str, dict[str, float]]] = {}
    for notes in SIZES:
        found = kept[f"{notes} notes"] = {}
        with tempfile.TemporaryDirectory() as place, open_window(song_of(notes), Path(place), SIZE) as opened:
            settle(opened)
            put_aside()  # as the program does a moment after a lesson was opened
            for name, measure in LONG_MEASURES if notes == LONG else MEASURES:
                found[name] = figures_of(measure(opened))
                figures = "  ".join(f"{what} {figure}" for what, figure in found[name].items())
                show(f"{notes:5} notes  {name:24} {figures}")
    keep("sheet", {"platform": os.environ["QT_QPA_PLATFORM"], "one frame ms": 16.7, "frames": kept})
    return 0


if __name__ == "__main__":
    sys.exit(main())

"""How soon a key reaches the window's sheet, and what following a player costs the window.

Run by name: ``python -m tests.benchmarks.bench_following``; needs jackd, and Xvfb for a real screen (without it the
window is painted where nobody sees it).

*Keys*: the real window and engine follow a song of 2,000 notes through MIDI ports while its part plays on; a key comes
from the keyboard every `KEY_SECONDS`. From the moment at which the engine has it in hand (the time that it reports with
the key; both processes read the same clock) to the window's verdict signal, and to the end of the painting that shows
it. *Processor*: the processor time of the window's process over that while, in percent of a core. *Row*: one verdict on
a row, laid out and painted on a screen in memory, beside painting the whole row anew.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from itertools import cycle
from pathlib import Path
from statistics import median, quantiles

os.environ["PHRASEBENCH_SOUND"] = "null"

from app.engine.protocol import KeyJudged
from core.performance.following import Verdict
from tests.benchmarks.bench_processor import screen
from tests.benchmarks.process_figures import processor_seconds
from tests.benchmarks.results import keep, show

KEY_SECONDS = 0.1
SECONDS = 20.0
SETTLING = 4.0
TARGET_MILLISECONDS = 20.0
TARGET_PERCENT = 15.0
FRAME_MILLISECONDS = 1000 / 60
HUNDRED = 100
NOTES = 2000


def told(milliseconds: list[float]) -> dict[str, float]:
    """Median, 99th percentile and largest, in milliseconds."""
    return {
        "median": round(median(milliseconds), 2),
        "p99": round(quantiles(milliseconds, n=HUNDRED)[-1], 2),
        "largest": round(max(milliseconds), 2),
    }


def with_the_engine() -> dict[str, object]:
    """From a key to the verdict in the window and to the painted mark; the window's processor time meanwhile."""
    from PySide6.QtWidgets import QApplication

    from app.listen.piece import Piece
    from app.window.header import Workspace
    from tests.benchmarks.bench_window import settle, song_of
    from tests.helpers.midi_patchbay import KEYBOARD, LISTENER, patchbay
    from tests.helpers.playing_window import playing_window

    application = QApplication.instance() or QApplication(sys.argv[:1])
    song = song_of(NOTES)
    with patchbay("256") as ports, tempfile.TemporaryDirectory() as place:
        os.environ.update(ports.environment)
        with playing_window(song, Path(place)) as opened:
            opened.settings.change(output=LISTENER, keyboard=KEYBOARD, again=True, own_hands="right", count_in=False)
            opened.window.show_workspace(Workspace.LISTEN)
            pressed: list[float] = []
            to_signal: list[float] = []
            to_paint: list[float] = []
            unpainted: list[float] = []

            def has_key(_midi: int, _velocity: int, on: bool, when: float) -> None:
                if on:
                    pressed.append(when)

            def has_verdict(report: KeyJudged) -> None:
                if report.verdict not in ("missed", "apart") and pressed:
                    to_signal.append(1e3 * (time.perf_counter() - pressed[-1]))
                    unpainted.append(pressed[-1])

            opened.engine.key.connect(has_key)
            opened.engine.judged.connect(has_verdict)
            opened.window.player.play(Piece("song"))
            keys = cycle(note.pitch.midi for part in song.parts for note in part.melody)

            def play_along(seconds: float) -> None:
                until, again = time.perf_counter() + seconds, 0.0
                while (now := time.perf_counter()) < until:
                    if now > again:
                        again = now + KEY_SECONDS
                        midi = next(keys)
                        ports.press(0x90, midi, 70)
                        ports.press(0x80, midi, 64)
                    application.processEvents()
                    if unpainted:
                        application.processEvents()  # what the verdict has asked to be painted
                        to_paint.extend(1e3 * (time.perf_counter() - when) for when in unpainted)
                        unpainted.clear()
                    time.sleep(0.001)

            settle(opened)  # type: ignore[arg-type]  # it asks for no more than a window has
            play_along(SETTLING)
            to_signal.clear()
            to_paint.clear()
            began, used = time.perf_counter(), processor_seconds(os.getpid())
            engine = processor_seconds(opened.engine_process)
            play_along(SECONDS)
            length = time.perf_counter() - began
            figures: dict[str, object] = {
                "verdicts": len(to_signal),
                "key to signal, ms": told(to_signal),
                "key to painted mark, ms": told(to_paint),
                "window percent": round(100 * (processor_seconds(os.getpid()) - used) / length, 1),
                "engine percent": round(100 * (processor_seconds(opened.engine_process) - engine) / length, 1),
            }
            for name, figure in figures.items():
                show(f"{name:28} {figure}")
            return figures


def of_a_row() -> dict[str, object]:
    """A verdict on a row of a song of 2,000 notes, and the whole row painted anew; processor time."""
    from PySide6.QtWidgets import QApplication

    from app.listen.piece import Piece
    from app.window.header import Workspace
    from tests.benchmarks.bench_window import settle, song_of
    from tests.helpers.open_window import open_window

    application = QApplication.instance() or QApplication(sys.argv[:1])
    with tempfile.TemporaryDirectory() as place, open_window(song_of(NOTES), Path(place), (1920, 1080)) as opened:
        opened.settings.change(own_hands="right", count_in=False, again=False)
        opened.window.show_workspace(Workspace.LISTEN)
        opened.window.player.play(Piece("song"))
        settle(opened)
        marked, whole = [], []
        verdicts: tuple[Verdict, ...] = ("right", "late", "early", "missed")
        for number, note in enumerate(opened.engine.meant[:80]):
            began = time.process_time()
            opened.engine.judged.emit(KeyJudged(verdicts[number % 4], note.midi, note.seconds, 0.12))
            opened.window.page.marks.show_now()
            application.processEvents()
            marked.append(1e3 * (time.process_time() - began))
        row = opened.window.page.sheet.rows[0]
        for _ in range(20):
            row.forget_picture()
            began = time.process_time()
            application.processEvents()
            whole.append(1e3 * (time.process_time() - began))
        opened.window.player.stop()
        opened.slow_work.close()
    figures: dict[str, object] = {"a verdict, ms": told(marked), "the whole row, ms": told(whole)}
    for name, figure in figures.items():
        show(f"{name:28} {figure}")
    return figures


def main() -> None:
    """Measure and keep the figures."""
    with screen() as shown:
        figures: dict[str, object] = {"screen": shown, "engine and window": with_the_engine(), "row": of_a_row()}
    show(
        f"targets: {TARGET_MILLISECONDS:.0f} ms to the signal, {FRAME_MILLISECONDS:.1f} ms a frame, "
        f"{TARGET_PERCENT:.0f} % of a core"
    )
    keep("following", figures)


if __name__ == "__main__":
    main()

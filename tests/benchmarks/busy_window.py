"""The real window at its busiest, as a process: it repaints without rest, an analysis goes on, its lesson is saved.

``python -m tests.benchmarks.busy_window ROW`` prints ``busy`` when all of that goes on. A line on its
standard input has it play its lesson through the listener's port, and it prints ``ended``; it ends with its input. In
the place of the lesson's notes its engine gets the schedule in the file ROW, so that a listener can tell every note
apart; the window follows as ever.
"""

from __future__ import annotations

import os
import pickle
import sys
import tempfile
from pathlib import Path
from typing import Final

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QObject, QSocketNotifier, QTimer
from PySide6.QtWidgets import QApplication, QWidget

from app.engine.qt_client import QtEngine
from app.listen.piece import Piece
from core.performance.schedule import Schedule
from tests.benchmarks.bench_window import song_of
from tests.helpers.midi_patchbay import LISTENER
from tests.helpers.playing_window import PlayingWindow, playing_window

NOTES: Final = 2000
SAVING_MILLISECONDS: Final = 250
SETTLING_MILLISECONDS: Final = 2000
ANALYSIS: Final = "core.session.key_choice:twelve_keys"
"""The longest that the program computes: the effort of the song in all twelve keys."""


class RowEngine(QtEngine):
    """An engine that plays one schedule, whatever it is told to load."""

    def __init__(self, row: Schedule) -> None:
        super().__init__()
        self._row = row

    def load(self, schedule: Schedule) -> int:  # noqa: ARG002 - the row is heard in its place
        """Load the row."""
        return super().load(self._row)


class Busy(QObject):
    """Keeps a window busy for as long as it lives."""

    def __init__(self, opened: PlayingWindow, folder: Path) -> None:
        super().__init__(opened.window)
        self._opened = opened
        self._path = folder / "busy.lesson"
        self.repaints = self.saves = self.analyses = 0
        self._painting = QTimer(self)
        self._painting.timeout.connect(self._paint)
        self._painting.start(0)
        self._saving = QTimer(self)
        self._saving.timeout.connect(self._save)
        self._saving.start(SAVING_MILLISECONDS)
        self._analyse()

    def _paint(self) -> None:
        for widget in self._opened.window.findChildren(QWidget):
            if widget.isVisible():
                widget.update()
        self.repaints += 1

    def _save(self) -> None:
        self._opened.document.save_as(self._path)
        self.saves += 1

    def _analyse(self, _: object = None) -> None:
        self.analyses += 1
        song = self._opened.document.song
        self._opened.slow_work.start(ANALYSIS, song, None, None, done=self._analyse, failed=say)


def say(words: str) -> None:
    """Tell whoever started this."""
    sys.stdout.write(words + "\n")
    sys.stdout.flush()


def main() -> int:
    """Open the window, be busy, play when told to."""
    row = pickle.loads(Path(sys.argv[1]).read_bytes())
    application = QApplication(sys.argv[:1])
    with (
        tempfile.TemporaryDirectory() as place,
        playing_window(song_of(NOTES), Path(place), engine=RowEngine(row)) as opened,
    ):
        opened.settings.change(output=LISTENER)
        busy = Busy(opened, Path(place))
        player = opened.window.player

        def playing(piece: Piece | None) -> None:
            if piece is None:
                say("ended")

        player.playing_changed.connect(playing)

        def told() -> None:
            if sys.stdin.buffer.readline():
                player.play(Piece("song"))
            else:
                application.quit()

        listening = QSocketNotifier(sys.stdin.fileno(), QSocketNotifier.Type.Read)
        listening.activated.connect(told)
        QTimer.singleShot(SETTLING_MILLISECONDS, lambda: say("busy"))
        application.exec()
        say(f"repaints {busy.repaints} saves {busy.saves} analyses {busy.analyses}")
    return 0


if __name__ == "__main__":
    sys.exit(main())

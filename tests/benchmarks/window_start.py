"""One start of a window, timed inside the process that opens it; run by bench_window.

``python -m tests.benchmarks.window_start BEGAN`` opens a bare main window, with a FILE behind it the program on that
song. It prints two times, counted from `BEGAN`, a reading of the clock that all processes of the machine share: until
the window has been painted and what waited then has been dealt with, and until nothing is left to be done.
"""

from __future__ import annotations

import sys
import time


def say_when_usable(began: float) -> None:
    """Print the two times for the window that is open, then close it."""
    from PySide6.QtCore import QAbstractEventDispatcher, QEvent, QObject, Qt, QTimer
    from PySide6.QtWidgets import QApplication

    application, dispatcher = QApplication.instance(), QAbstractEventDispatcher.instance()
    assert application is not None
    times: list[float] = []

    def now() -> float:
        return time.clock_gettime(time.CLOCK_MONOTONIC) - began

    class Watch(QObject):
        """Sees the window being painted."""

        has_seen = False

        def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: ARG002, N802 - Qt's name
            if event.type() is QEvent.Type.Paint and not self.has_seen:
                self.has_seen = True
                self.deleteLater()
                QTimer.singleShot(0, lambda: times.append(now()))
            return False

    def at_rest() -> None:
        if times:
            dispatcher.aboutToBlock.disconnect(at_rest)
            times.append(now())
            sys.stdout.write(" ".join(map(str, times)) + "\n")
            sys.stdout.flush()
            QTimer.singleShot(0, QApplication.closeAllWindows)

    application.installEventFilter(Watch(application))
    dispatcher.aboutToBlock.connect(at_rest, Qt.ConnectionType.DirectConnection)
    for window in QApplication.topLevelWidgets():
        window.update()  # one that has been painted before this was asked is painted once more


def bare(began: float) -> None:
    """Open a main window with nothing in it."""
    from PySide6.QtWidgets import QApplication, QMainWindow

    application = QApplication(sys.argv[:1])
    window = QMainWindow()
    window.resize(1280, 800)
    window.show()
    say_when_usable(began)
    application.exec()


def program(began: float, file: str) -> None:
    """Start the program as ``python -m app open FILE`` does inside its environment.

    Qt is left for the program to load at its own time: what is loaded after it is loaded more slowly.
    """
    import runpy

    import app.window

    load_qt = app.window._import_plainly

    def load_and_watch() -> None:
        load_qt()
        from PySide6.QtWidgets import QApplication

        plain = QApplication.exec

        def watched(*_: object) -> int:
            say_when_usable(began)
            return plain()

        QApplication.exec = watched  # type: ignore[method-assign]  # the start is watched from outside

    app.window._import_plainly = load_and_watch
    sys.argv[:] = ["app", "open", file]
    runpy.run_module("app", run_name="__main__")


if __name__ == "__main__":
    if len(sys.argv) > 2:
        program(float(sys.argv[1]), sys.argv[2])
    else:
        bare(float(sys.argv[1]))

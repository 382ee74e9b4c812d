"""What a test of the window must not leave behind: timers, threads, windows, processes."""

from __future__ import annotations

import gc
import threading

from PySide6.QtCore import QCoreApplication, QEvent, QProcess, QTimer
from PySide6.QtWidgets import QApplication
from shiboken6 import isValid

ENDING_SECONDS = 5.0


def left_behind() -> list[str]:
    """Everything that still goes on, in words; empty where all is quiet."""
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    threads = [thread for thread in threading.enumerate() if thread is not threading.main_thread()]
    for thread in threads:  # one that was told to end may be in the middle of something on a busy machine
        thread.join(ENDING_SECONDS)
    found = [f"thread {thread.name}" for thread in threads if thread.is_alive()]
    if not isinstance(QApplication.instance(), QApplication):
        return found
    found += [f"window {widget}" for widget in QApplication.topLevelWidgets() if widget.isVisible()]
    for thing in gc.get_objects():
        if isinstance(thing, QTimer) and isValid(thing) and thing.isActive():
            found.append(f"timer of {thing.parent()}")
        if isinstance(thing, QProcess) and isValid(thing) and thing.state() is not QProcess.ProcessState.NotRunning:
            found.append(f"process {thing.program()}")
    return found

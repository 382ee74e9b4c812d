"""The window's side: tasks handed to the helper process, outcomes handed back on the main thread.

Pure Python in a thread would still hold the window up; a process does not. Tasks run one after another in the
order they were asked for. A task asked for under a name that is already waiting or running makes the older one
stale: its outcome is dropped.
"""

from __future__ import annotations

import os
import sys
from collections import deque
from collections.abc import Callable
from itertools import count
from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct
from PySide6.QtCore import QObject, Signal

from app.background.frames import FrameReader, Outcome, Task, pack
from app.resources import HOME

if TYPE_CHECKING:
    from PySide6.QtCore import QProcess

ENDING_MILLISECONDS: Final = 2_000
"""How long the helper may take to end once its input is closed, before it is killed."""


class _Waiting(Struct):
    task: Task
    group: str
    done: Callable[[Any], None]
    failed: Callable[[str], None]
    stale: bool = False


class SlowWork(QObject):
    """Runs functions in the helper process."""

    busy_changed = Signal(int)
    """How many tasks are waiting or running."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._process: QProcess | None = None
        self._reader = FrameReader()
        self._numbers = count(1)
        self._waiting: deque[_Waiting] = deque()

    @property
    def busy(self) -> int:
        """How many tasks are waiting or running and still wanted."""
        return sum(not waiting.stale for waiting in self._waiting)

    def start(
        self,
        function: Callable[..., Any] | str,
        *arguments: object,
        done: Callable[[Any], None],
        failed: Callable[[str], None],
        name: str = "",
        group: str = "",
    ) -> None:
        """Run `function(*arguments)` in the helper process.

        Args:
            function: a function of a module, never a lambda, or its name as ``module:name`` where importing the
                module here would hold the window up; its arguments and result can be pickled.
            arguments: what it is called with.
            done: called on the main thread with the result.
            failed: called on the main thread with one sentence of error.
            name: makes older tasks of the same name stale; an empty name makes none.
            group: a name that older tasks keep beside this one, until `forget` makes them all stale.
        """
        if name:
            self.forget(name)
        called = function if isinstance(function, str) else f"{function.__module__}:{function.__qualname__}"
        task = Task(next(self._numbers), called, arguments)
        self._waiting.append(_Waiting(task, name or group, done, failed))
        self._running_process().write(pack(task))
        self.busy_changed.emit(self.busy)

    def forget(self, name: str) -> None:
        """Make every task of a name or group stale: whatever comes of it is dropped.

        When nothing that is still wanted is left, the helper is ended rather than left to finish in vain.
        """
        found = False
        for waiting in self._waiting:
            if waiting.group == name and not waiting.stale:
                waiting.stale = found = True
        if found and not self.busy:
            self.close()
        if found:
            self.busy_changed.emit(self.busy)

    def close(self) -> None:
        """End the helper process and drop whatever it was doing."""
        self._waiting.clear()
        process, self._process = self._process, None
        self._reader = FrameReader()
        if process is None:
            return
        process.readyReadStandardOutput.disconnect(self._read)
        process.finished.disconnect(self._ended)
        process.errorOccurred.disconnect(self._failed)
        process.closeWriteChannel()
        if not process.waitForFinished(ENDING_MILLISECONDS):
            process.kill()
            process.waitForFinished(ENDING_MILLISECONDS)
        process.deleteLater()

    def _running_process(self) -> QProcess:
        if self._process is None:
            from PySide6.QtCore import QProcess, QProcessEnvironment

            process = QProcess(self)
            environment = QProcessEnvironment.systemEnvironment()
            known = environment.value("PYTHONPATH")
            environment.insert("PYTHONPATH", os.pathsep.join(filter(None, (str(HOME), known))))
            process.setProcessEnvironment(environment)
            process.setProcessChannelMode(QProcess.ProcessChannelMode.ForwardedErrorChannel)
            process.readyReadStandardOutput.connect(self._read)
            process.finished.connect(self._ended)
            process.errorOccurred.connect(self._failed)
            process.start(sys.executable, ["-m", "app.background"])
            self._process = process
        return self._process

    def _read(self) -> None:
        if self._process is None:
            return
        for outcome in self._reader.feed(bytes(self._process.readAllStandardOutput().data())):
            if isinstance(outcome, Outcome):
                self._deliver(outcome)

    def _deliver(self, outcome: Outcome) -> None:
        if not self._waiting or self._waiting[0].task.number != outcome.number:
            return
        waiting = self._waiting.popleft()
        self.busy_changed.emit(self.busy)
        if waiting.stale:
            return
        if outcome.error is None:
            waiting.done(outcome.result)
        else:
            waiting.failed(outcome.error)

    def _failed(self, error: QProcess.ProcessError) -> None:
        """A helper that cannot be started never reports that it has ended."""
        from PySide6.QtCore import QProcess

        if error is QProcess.ProcessError.FailedToStart:
            self._ended()

    def _ended(self) -> None:
        """The helper died by itself: say so to everyone who waits; the next task starts a new one."""
        lost = list(self._waiting)
        self._let_go()
        for waiting in lost:
            if not waiting.stale:
                waiting.failed(self.tr("The helper process ended before its work was done; try once more."))

    def _let_go(self) -> None:
        """Let go of a helper that has already ended."""
        self._waiting.clear()
        self._reader = FrameReader()
        if self._process is not None:
            self._process.deleteLater()
            self._process = None
        self.busy_changed.emit(self.busy)

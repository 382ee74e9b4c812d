"""Notices when the lesson's file is changed by something other than this window."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QFileSystemWatcher, QObject, QTimer, Signal

from app.document.document import LessonDocument

SETTLING_MILLISECONDS: Final = 300
"""Programs write a file in several steps; it is looked at when they have come to rest."""


class FileWatch(QObject):
    """Watches the file of the open lesson."""

    changed_elsewhere = Signal()
    """The file holds something else than was opened or saved here."""

    def __init__(self, document: LessonDocument, milliseconds: int = SETTLING_MILLISECONDS) -> None:
        super().__init__(document)
        self._document = document
        self._told: bytes | None = None
        self._watcher = QFileSystemWatcher(self)
        self._settling = QTimer(self)
        self._settling.setSingleShot(True)
        self._settling.setInterval(milliseconds)
        self._settling.timeout.connect(self._look)
        self._watcher.fileChanged.connect(self._settling.start)
        self._watcher.directoryChanged.connect(self._settling.start)
        document.path_changed.connect(self.watch)
        self.watch()

    def watch(self) -> None:
        """Watch the file the lesson belongs to now, and its folder: a file swapped in is a new one."""
        watched = self._watcher.files() + self._watcher.directories()
        if watched:
            self._watcher.removePaths(watched)
        self._told = None
        path = self._document.path
        if path is not None:
            self._watcher.addPaths([str(path.parent), *([str(path)] if path.exists() else [])])

    def close(self) -> None:
        """Watch nothing any more."""
        self._settling.stop()
        watched = self._watcher.files() + self._watcher.directories()
        if watched:
            self._watcher.removePaths(watched)

    def _look(self) -> None:
        path = self._document.path
        if path is not None and str(path) not in self._watcher.files() and path.exists():
            self._watcher.addPath(str(path))
        found = self._document.digest_changed_elsewhere()
        if found is not None and found != self._told:
            self._told = found
            self.changed_elsewhere.emit()

"""Keeps a copy of what is not saved, so that a crash, a power cut or a killed process loses a few seconds at most."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from PySide6.QtCore import QObject, QTimer, Signal

from app.document.document import LessonDocument
from app.document.unsaved_copies import UnsavedCopies, UnsavedCopy
from core.song.errors import FormatError

WAITING_MILLISECONDS: Final = 2_000
"""From a change to its copy. The clock is not set back by further changes: typing for minutes is copied too."""


class Autosave(QObject):
    """Writes the copy while there are unsaved changes, and takes it away when there are none."""

    trouble = Signal(str)
    """One sentence, once until it works again: no copy can be kept."""
    put_aside = Signal(str)
    """The path of a lesson of its own that a copy left behind was made into, so as not to be written over."""

    def __init__(
        self, document: LessonDocument, copies: UnsavedCopies, milliseconds: int = WAITING_MILLISECONDS
    ) -> None:
        super().__init__(document)
        self._document = document
        self._copies = copies
        self._copy: Path | None = None
        self._left: UnsavedCopy | None = None
        self._troubled = False
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(milliseconds)
        self._timer.timeout.connect(self.write_now)
        document.song_changed.connect(self._changed)
        document.clean_changed.connect(self._clean_changed)
        document.path_changed.connect(self.drop)

    @property
    def copy(self) -> Path | None:
        """The copy that lies on disk now, or None."""
        return self._copy

    def mind(self, left: UnsavedCopy | None) -> None:
        """Do not write over a copy that was left behind, until it is taken up, put aside or thrown away (None)."""
        self._left = left

    def write_now(self) -> None:
        """Bring the copy up to date at once."""
        self._timer.stop()
        if self._document.is_clean:
            self.drop()
            return
        try:
            self._put_left_aside()
            written = self._copies.write(self._document.song, self._document.path)
        except FormatError as error:
            if not self._troubled:
                self.trouble.emit(self.tr("Unsaved changes are not being kept safe: %1").replace("%1", str(error)))
            self._troubled = True
            return
        if self._copy not in (None, written):
            self.drop()
        self._copy, self._troubled = written, False

    def drop(self) -> None:
        """Take the copy away: what it held is saved, or was given up."""
        self._timer.stop()
        if self._copy is not None:
            self._copy.unlink(missing_ok=True)
            self._copy = None

    def close(self) -> None:
        """The window closes: nothing is unsaved any more."""
        self.drop()
        self._copies.close()

    def _put_left_aside(self) -> None:
        """Work goes on though nobody has said what is to become of the copy: it becomes a lesson of its own."""
        if self._left is not None:
            path = self._document.path
            kept = self._copies.put_aside(self._left, path.parent if path is not None else self._left.path.parent)
            self._left = None
            self.put_aside.emit(str(kept))

    def _changed(self) -> None:
        if not self._timer.isActive():
            self._timer.start()

    def _clean_changed(self, clean: bool) -> None:
        if clean:
            self.drop()

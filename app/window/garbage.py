"""When Python looks for garbage: in a quiet moment, not in the middle of a drag.

A lesson of 2,000 notes is laid out as a quarter of a million objects, and a whole look through them takes 80 ms: five
frames of a gesture. What a lesson has been laid out as stays as long as the lesson, so it is put aside once it stands.
"""

from __future__ import annotations

import gc
from typing import Final

from PySide6.QtCore import QObject, QTimer

STANDING_MILLISECONDS: Final = 1_500
"""How long after a lesson was opened all of it has been laid out."""
QUIET_MILLISECONDS: Final = 3_000
"""How long after a change somebody is likely to be looking, not working."""


class QuietCollecting(QObject):
    """Has garbage collected when nothing is being done.

    Args:
        parent: as long as it lives.
    """

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._standing, self._quiet = QTimer(self), QTimer(self)
        for timer, milliseconds, does in (
            (self._standing, STANDING_MILLISECONDS, put_aside),
            (self._quiet, QUIET_MILLISECONDS, _collect),
        ):
            timer.setSingleShot(True)
            timer.setInterval(milliseconds)
            timer.timeout.connect(does)

    def lesson_opened(self) -> None:
        """Another lesson is open: put it aside once it has been laid out, and let go of the one before."""
        self._standing.start()

    def lesson_changed(self) -> None:
        """The lesson has changed: look for what that left behind when nothing has changed for a while."""
        self._quiet.start()


def put_aside() -> None:
    """Collect all garbage there is, then keep what is left out of all further looks until this is done again."""
    gc.unfreeze()
    gc.collect()
    gc.freeze()


def _collect() -> None:
    gc.collect()

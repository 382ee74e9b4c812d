"""The one undoable command: a song in the place of another.

The new song was computed before the command is pushed, so that doing it again cannot fail.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtGui import QUndoCommand

from core.song.song import Song

TYPING_COMMAND = 1
"""Qt merges neighbouring commands only where they share a number that is not −1."""


class ReplaceSongCommand(QUndoCommand):
    """Puts `after` in the place of `before`, and back.

    Args:
        before: the song as it was.
        after: the song as it becomes.
        put: puts a song in the document.
        label: what the change is called in the menu.
        typing: names a run of typing; commands of one run merge into one. Empty for a change of its own.
    """

    def __init__(self, before: Song, after: Song, put: Callable[[Song], None], label: str, typing: str = "") -> None:
        super().__init__(label)
        self.before = before
        self.after = after
        self.typing = typing
        self._put = put

    def redo(self) -> None:
        """Put the new song in the document."""
        self._put(self.after)

    def undo(self) -> None:
        """Put the old song back."""
        self._put(self.before)

    def id(self) -> int:
        """The number that commands of typing share."""
        return TYPING_COMMAND if self.typing else -1

    def mergeWith(self, other: QUndoCommand) -> bool:  # noqa: N802 - Qt's name
        """Take a later command of the same run of typing into this one."""
        if not isinstance(other, ReplaceSongCommand) or other.typing != self.typing:
            return False
        self.after = other.after
        if self.after == self.before:
            self.setObsolete(True)
        return True

"""The lesson that is open.

Every change goes through `LessonDocument.apply`: the new song is computed first, an edit that the song's rules
refuse ends as one sentence on `message`, an equal song changes nothing, and all the rest is one undoable
command.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoStack

from app.document.lesson_lock import LessonLock
from app.document.lesson_store import StoredLesson, digest_on_disk, open_lesson, save_lesson
from app.document.replace_song import ReplaceSongCommand
from core.song.errors import PhrasebenchError
from core.song.song import Song

Edit = Callable[[Song], Song]
"""A change: the song before in, the song after out; raises EditError (or another of ours) to refuse."""


class LessonDocument(QObject):
    """A song, the file it belongs to, and the changes made to it."""

    song_changed = Signal(object, object)
    """Song before and after; on opening, the song of the lesson that was open before."""
    message = Signal(str)
    """One sentence: why something was refused or went wrong."""
    path_changed = Signal(object)
    """The file's path, or None."""
    clean_changed = Signal(bool)
    """Whether the lesson is as its file holds it."""

    def __init__(self, song: Song, parent: QObject | None = None, folder: Path | None = None) -> None:
        """`folder` is where the program keeps its own files; without one, other windows are not looked for."""
        super().__init__(parent)
        self._lock = LessonLock(folder) if folder is not None else None
        self._song = song
        self._stored: StoredLesson | None = None
        self._typing_run = 0
        self.undo_stack = QUndoStack(self)
        self.undo_stack.cleanChanged.connect(self._tell_clean)

    @property
    def song(self) -> Song:
        """The song as it is now."""
        return self._song

    @property
    def path(self) -> Path | None:
        """The lesson's file, or None for one that has not been saved yet."""
        return self._stored.path if self._stored else None

    @property
    def is_clean(self) -> bool:
        """Whether closing would lose nothing."""
        return self.undo_stack.isClean()

    def take(self, song: Song, stored: StoredLesson | None = None) -> None:
        """Put another lesson in the place of this one; its history begins anew.

        Args:
            song: the song.
            stored: the lesson file it was read from, or None for a copy that belongs to no file yet.
        """
        if self._lock is not None and stored is None:
            self._lock.let_go()
        before, self._song = self._song, song
        self._typing_run += 1
        self.undo_stack.clear()
        self._stored = stored
        self.path_changed.emit(self.path)
        self.song_changed.emit(before, song)

    def open(self, path: Path) -> None:
        """Open a lesson file.

        Raises:
            FileOpenElsewhereError: another window has it open.
            FormatError: it cannot be read; either way everything is left as it is.
        """
        stored = open_lesson(path)
        self._hold(path)
        self.take(stored.song, stored)

    def recover(self, song: Song) -> None:
        """Take up changes that were never saved: no file holds them, so the lesson counts as changed from here on."""
        self.take(song, self._stored)
        self.undo_stack.resetClean()

    def close(self) -> None:
        """Let go of the lesson's file."""
        if self._lock is not None:
            self._lock.let_go()

    def digest_changed_elsewhere(self) -> bytes | None:
        """What the lesson's file holds now, as a digest, if that is not what was opened or saved here; else None."""
        if self._stored is None:
            return None
        found = digest_on_disk(self._stored.path)
        return None if found == self._stored.digest else found

    def open_copy(self, path: Path) -> None:
        """Open a copy of a lesson file that belongs to no file yet, as of a demo lesson; raises FormatError."""
        self.take(open_lesson(path).song)

    def save(self) -> None:
        """Save the lesson in its own file.

        Raises:
            FileChangedError: the file has changed on disk since it was opened.
            FormatError: it cannot be written.
        """
        if self._stored is not None:
            self.save_as(self._stored.path)

    def save_as(self, path: Path) -> None:
        """Save the lesson in a file, which is its own from then on; raises as `save`."""
        self._hold(path)
        self._stored = save_lesson(self._song, path, self._stored)
        self._typing_run += 1
        self.undo_stack.setClean()
        self.path_changed.emit(path)

    def apply(self, edit: Edit, label: str, typing: str = "") -> bool:
        """Make a change.

        Args:
            edit: the song before in, the song after out. Within one run of typing it is given the song as it was
                before the run began, so that half-typed words leave no trace.
            label: what the change is called in the menu.
            typing: names the run of typing; changes of one run are undone together.

        Returns:
            Whether the change was allowed; if not, `message` has said why.
        """
        begun = self._typing_command(typing)
        try:
            after = edit(begun.before if begun else self._song)
        except PhrasebenchError as error:
            self.message.emit(str(error))
            return False
        if begun and after == begun.before:
            after = begun.before
        if after != self._song:
            command = ReplaceSongCommand(self._song, after, self._put, label, self._run_name(typing))
            self.undo_stack.push(command)
        return True

    def end_typing(self) -> None:
        """End the run of typing: what is typed from now on is undone by itself."""
        self._typing_run += 1

    def cancel_typing(self, typing: str) -> None:
        """Take back what the present run of typing has changed, as if it had never been typed."""
        begun = self._typing_command(typing)
        if begun is not None:
            self._put(begun.before)
            begun.setObsolete(True)
            self.undo_stack.undo()
        self.end_typing()

    def _hold(self, path: Path) -> None:
        if self._lock is not None:
            self._lock.hold(path)

    def _tell_clean(self, clean: bool) -> None:
        self.clean_changed.emit(clean)

    def _run_name(self, typing: str) -> str:
        return f"{typing} {self._typing_run}" if typing else ""

    def _typing_command(self, typing: str) -> ReplaceSongCommand | None:
        """The command that this run of typing has already pushed, if it is the last thing that was done."""
        stack = self.undo_stack
        if not typing or stack.canRedo() or stack.isClean() or not stack.index():
            return None
        last = stack.command(stack.index() - 1)
        if isinstance(last, ReplaceSongCommand) and last.typing == self._run_name(typing):
            return last
        return None

    def _put(self, song: Song) -> None:
        before, self._song = self._song, song
        if before is not song:
            self.song_changed.emit(before, song)

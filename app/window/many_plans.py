"""Session plans of many lessons in a row, with progress, and a way to stop between two of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from app.background.slow_work import SlowWork
from app.songs.song_entry import SongEntry
from app.widgets.message_bar import MessageBar
from core.session.timing import LessonSettings

MANY: Final = "many plans"


class ManyPlans(QObject):
    """Writes the plan of one lesson after another, each into a folder of its own."""

    def __init__(
        self, slow_work: SlowWork, bar: MessageBar, settings: Callable[[], LessonSettings], window: QWidget
    ) -> None:
        super().__init__(window)
        self._slow_work = slow_work
        self._bar = bar
        self._settings = settings
        self._window = window
        self._folder = Path()
        self._left: list[str] = []
        self._whole = 0
        self._written = 0
        self._troubles: list[str] = []
        self._reminder = ""

    def ask_where(self, lessons: Sequence[SongEntry]) -> None:
        """Remind of rights, then ask for a folder and write the plans of some lessons there."""
        from app.widgets.file_dialog import folder_dialog  # no start needs it

        self._reminder = self._rights_reminder(lessons)
        if self._reminder:
            self._bar.say(self._reminder)
        paths = [lesson.path for lesson in lessons]
        dialog = folder_dialog(self._window, self.tr("Folder for the session plans"))
        dialog.setObjectName("plans-dialog")
        dialog.fileSelected.connect(lambda folder: self.write(paths, Path(folder)))
        dialog.open()

    def _rights_reminder(self, lessons: Sequence[SongEntry]) -> str:
        """One line where the rights of some lessons' songs are not cleared; else an empty text."""
        open_ones = [lesson.title for lesson in lessons if not lesson.rights_cleared and not lesson.trouble]
        if not open_ones:
            return ""
        if len(open_ones) == 1:
            text = self.tr("Before you sell or publish it, clear the rights of “%1”.")
        else:
            text = self.tr("Before you sell or publish them, clear the rights of %2 songs, “%1” among them.")
        return text.replace("%1", open_ones[0]).replace("%2", str(len(open_ones)))

    def write(self, paths: Sequence[str], folder: Path) -> None:
        """Write the plans of some lesson files into a folder."""
        self._slow_work.forget(MANY)
        self._folder, self._left, self._whole = folder, list(paths), len(paths)
        self._written, self._troubles = 0, []
        self._next()

    def _next(self) -> None:
        if not self._left:
            self._bar.work_ended()
            self._say_end(stopped=False)
            return
        path = self._left.pop(0)
        number = self._whole - len(self._left)
        text = self.tr("Writing plan %1 of %2: %3 …")
        text = text.replace("%1", str(number)).replace("%2", str(self._whole)).replace("%3", Path(path).stem)
        self._bar.work(text, self._cancel, (number - 1, self._whole))
        self._slow_work.start(
            "app.window.file_work:write_plan_of_file",
            path,
            self._settings(),
            str(self._folder),
            done=self._one_written,
            failed=self._one_failed,
            name=MANY,
        )

    def _one_written(self, _name: str) -> None:
        self._written += 1
        self._next()

    def _one_failed(self, sentence: str) -> None:
        self._troubles.append(sentence)
        self._next()

    def _cancel(self) -> None:
        self._slow_work.forget(MANY)
        self._bar.work_ended()
        self._say_end(stopped=True)

    def _say_end(self, *, stopped: bool) -> None:
        """How many were written, the first that was not and why, and the reminder that songs belong to someone."""
        text = self.tr("Stopped: %1 of %2 plans are in %3.") if stopped else self.tr("%1 of %2 plans are in %3.")
        text = text.replace("%1", str(self._written)).replace("%2", str(self._whole)).replace("%3", self._folder.name)
        told = [text, *self._troubles[:1]]
        if len(self._troubles) > 1:
            told.append(self.tr("(And %1 more could not be written.)").replace("%1", str(len(self._troubles) - 1)))
        if self._written and self._reminder:
            told.append(self._reminder)
        self._bar.say(" ".join(told))

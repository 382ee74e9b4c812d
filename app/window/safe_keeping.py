"""What is asked and said so that no work is lost: copies left behind by a crash, files changed elsewhere."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from PySide6.QtCore import QDate, QDateTime, QLocale, QObject, Signal

from app.document.autosave import Autosave
from app.document.document import LessonDocument
from app.document.file_watch import FileWatch
from app.document.lesson_store import save_lesson
from app.document.unsaved_copies import UnsavedCopies, UnsavedCopy, free_name
from app.widgets.message_bar import Answer, MessageBar
from core.song.errors import PhrasebenchError


class SafeKeeping(QObject):
    """Stands between the open lesson and everything that could lose it."""

    taken_up = Signal()
    """Another state of the lesson is open now."""

    def __init__(self, document: LessonDocument, bar: MessageBar, folder: Path) -> None:
        """`folder` is where the program keeps what is its own."""
        super().__init__(document)
        self._document = document
        self._bar = bar
        self.copies = UnsavedCopies(folder)
        self.autosave = Autosave(document, self.copies)
        self.watch = FileWatch(document)
        self.autosave.trouble.connect(bar.say)
        self.autosave.put_aside.connect(self._say_kept)
        self.watch.changed_elsewhere.connect(self._ask_about_change)

    def look_for_copies(self, *, orphans: bool = False) -> None:
        """Offer what a crash has left: changes of the lesson that is open, or else lessons that never had a file.

        Args:
            orphans: whether lessons without a file are looked for; once, at the start, is enough.
        """
        path = self._document.path
        left = self.copies.left_for(path) if path is not None else None
        self.autosave.mind(None)
        if left is not None and left.song == self._document.song:
            left.path.unlink(missing_ok=True)
        elif left is not None:
            self.autosave.mind(left)
            self._ask_about_copy(left)
        elif orphans and (lost := self.copies.left_without_lesson()):
            self._ask_about_orphan(lost[0])

    def close(self) -> None:
        """The window closes for good."""
        self.watch.close()
        self.autosave.close()
        self._document.close()

    def _ask_about_copy(self, left: UnsavedCopy) -> None:
        question = self.tr("“%1” has changes of %2 that were never saved.")
        self._bar.ask(
            question.replace("%1", left.song.title).replace("%2", _moment(left.written)),
            [
                Answer(self.tr("Take them up"), lambda: self._take_up(left)),
                Answer(self.tr("Throw them away"), lambda: self._throw_away(left)),
                Answer(self.tr("Keep them as another lesson"), lambda: self._keep(left)),
            ],
        )

    def _ask_about_orphan(self, left: UnsavedCopy) -> None:
        question = self.tr("“%1” of %2 was never saved.")
        self._bar.ask(
            question.replace("%1", left.song.title).replace("%2", _moment(left.written)),
            [
                Answer(self.tr("Open it"), lambda: self._open_orphan(left)),
                Answer(self.tr("Throw it away"), lambda: self._throw_away(left)),
                Answer(self.tr("Ask again next time"), lambda: None),
            ],
        )

    def _take_up(self, left: UnsavedCopy) -> None:
        self.autosave.mind(None)
        self._document.recover(left.song)
        self.autosave.write_now()
        if self.autosave.copy not in (None, left.path):
            left.path.unlink(missing_ok=True)
        self.taken_up.emit()
        self._bar.note(self.tr("The changes are back; save the lesson to keep them."))

    def _open_orphan(self, left: UnsavedCopy) -> None:
        self._document.take(left.song)
        self._document.recover(left.song)
        self.autosave.write_now()
        if self.autosave.copy is not None:
            left.path.unlink(missing_ok=True)
        self.taken_up.emit()
        self._bar.note(self.tr("The lesson is back; save it to keep it."))

    def _throw_away(self, left: UnsavedCopy) -> None:
        self.autosave.mind(None)
        left.path.unlink(missing_ok=True)

    def _keep(self, left: UnsavedCopy) -> None:
        path = self._document.path
        try:
            kept = self.copies.put_aside(left, path.parent if path is not None else left.path.parent)
        except PhrasebenchError as error:
            self._bar.say(str(error))
            return
        self.autosave.mind(None)
        self._say_kept(str(kept))

    def _say_kept(self, path: str) -> None:
        self._bar.say(self.tr("The earlier changes are kept as %1.").replace("%1", Path(path).name))

    def _ask_about_change(self) -> None:
        path = self._document.path
        if path is None:
            return
        mine = Answer(self.tr("Go on with mine"), lambda: None)
        question = self.tr("%1 was changed by another program.").replace("%1", path.name)
        self._bar.ask(question, [Answer(self.tr("Open it again"), self._open_again), mine])

    def _open_again(self) -> None:
        path = self._document.path
        if path is None:
            return
        kept = ""
        try:
            if not self._document.is_clean:
                aside = free_name(path.parent, f"{path.stem}_mine_{datetime.now().astimezone():%Y-%m-%d_%H.%M}")
                kept = save_lesson(self._document.song, aside).path.name
            self._document.open(path)
        except PhrasebenchError as error:
            self._bar.say(str(error))
            return
        self.taken_up.emit()
        if kept:
            self._bar.say(self.tr("Your own version is kept as %1.").replace("%1", kept))


def _moment(moment: datetime) -> str:
    """A time of today by its hour, another by its day too."""
    shown = QDateTime.fromSecsSinceEpoch(round(moment.timestamp()))
    locale, short = QLocale(), QLocale.FormatType.ShortFormat
    if shown.date() == QDate.currentDate():
        return locale.toString(shown.time(), short)
    return locale.toString(shown, short)

"""Opening, saving and exporting: dialogs that do not stand in the way, questions in the message bar."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Final

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QFileDialog, QWidget

from app.background.slow_work import SlowWork
from app.document.document import LessonDocument
from app.document.lesson_store import LESSON_ENDING
from app.resources import demo_songs
from app.settings.settings_store import SettingsStore
from app.widgets.message_bar import Answer, MessageBar
from core.formats.reading import Reading
from core.session.timing import LessonSettings
from core.song.errors import PhrasebenchError
from core.song.song import Song

PLAN_FILES: Final = ("plan.pdf", "plan.html", "plan.csv", "plan.json")
OPENING, EXPORTING = "opening", "exporting"
FILE_WORK: Final = "app.window.file_work"
"""Named, not imported: what it needs takes long to load, and only the helper process needs it."""


class LessonFiles(QObject):
    """Everything that has to do with the lesson's file."""

    opened = Signal()
    """Another lesson is open now."""
    several_tunes = Signal(str, object)
    """A book of tunes: its path, and the titles to choose from."""

    def __init__(
        self,
        document: LessonDocument,
        settings: SettingsStore,
        slow_work: SlowWork,
        bar: MessageBar,
        lesson_settings: Callable[[], LessonSettings],
        window: QWidget,
    ) -> None:
        super().__init__(window)
        self._document = document
        self._settings = settings
        self._slow_work = slow_work
        self._bar = bar
        self._lesson_settings = lesson_settings
        self._window = window

    def begin(self, song: Song) -> None:
        """Begin a new lesson with a song, once the present one may be left."""
        self.when_settled(lambda: self._take(lambda: self._document.take(song)))

    def open_dialog(self) -> None:
        """Ask which file to open."""
        from core.formats.registry import readable_endings

        endings = " ".join(f"*{ending}" for ending in readable_endings)
        dialog = self._dialog(self.tr("Open a lesson or a song"), QFileDialog.FileMode.ExistingFile)
        dialog.setNameFilters([self.tr("Lessons and songs (%1)").replace("%1", endings), self.tr("All files (*)")])
        dialog.fileSelected.connect(lambda name: self.open(Path(name)))
        dialog.open()

    def open_played_dialog(self) -> None:
        """Ask which take of what was played in on a keyboard to open."""
        folder = self._settings.folder_of_playing
        if not folder.is_dir():
            self._document.message.emit(self.tr("Nothing has been played in yet; choose a keyboard in Play first."))
            return
        dialog = self._dialog(self.tr("Open what was played"), QFileDialog.FileMode.ExistingFile)
        dialog.setDirectory(str(folder))
        dialog.setNameFilters([self.tr("Played on a keyboard (%1)").replace("%1", "*.played")])
        dialog.fileSelected.connect(lambda name: self.open(Path(name)))
        dialog.open()

    def open(self, path: Path) -> None:
        """Open a file, once the present lesson may be left."""
        self.when_settled(lambda: self._open(path))

    def save(self, then: Callable[[], object] | None = None) -> None:
        """Save the lesson, asking where if it has no file yet.

        Args:
            then: done once it is saved.
        """
        if self._document.path is None:
            self.save_as(then)
            return
        self._saved(self._document.save, then)

    def save_as(self, then: Callable[[], object] | None = None) -> None:
        """Ask where to save the lesson."""
        dialog = self._dialog(self.tr("Save the lesson"))
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.setNameFilters([self.tr("Lessons (*.lesson)")])
        dialog.setDefaultSuffix(LESSON_ENDING[1:])
        dialog.selectFile(f"{file_stem(self._document.song.title)}{LESSON_ENDING}")
        dialog.fileSelected.connect(lambda name: self._unless_there(Path(name), lambda: self.save_to(Path(name), then)))
        dialog.open()

    def save_to(self, path: Path, then: Callable[[], object] | None = None) -> None:
        """Save the lesson as a file of a name."""
        self._saved(lambda: self._document.save_as(path), then)

    def export_plan(self) -> None:
        """Ask for a folder and write the session plan there."""
        self._remind_of_rights()
        dialog = self._dialog(self.tr("Folder for the session plan"), QFileDialog.FileMode.Directory)
        dialog.setOption(QFileDialog.Option.ShowDirsOnly)
        dialog.fileSelected.connect(lambda folder: self.export_plan_to(Path(folder)))
        dialog.open()

    def export_plan_to(self, folder: Path) -> None:
        """Write the session plan into a folder; ask before an older one is replaced."""
        older = [name for name in PLAN_FILES if (folder / name).exists()]
        if not older:
            self._write_plan(folder)
            return
        question = self.tr("%1 already holds a plan (%2).")
        self._bar.ask(
            question.replace("%1", folder.name).replace("%2", ", ".join(older)),
            [
                Answer(self.tr("Replace it"), lambda: self._write_plan(folder)),
                Answer(self.tr("Leave it"), lambda: None),
            ],
        )

    def export_song(self, ending: str) -> None:
        """Ask where to write the song in another format.

        Args:
            ending: the format's ending, such as ``.mid``.
        """
        self._remind_of_rights()
        dialog = self._dialog(self.tr("Export the song"))
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.setNameFilters([f"*{ending}"])
        dialog.setDefaultSuffix(ending[1:])
        dialog.selectFile(f"{file_stem(self._document.song.title)}{ending}")
        dialog.fileSelected.connect(
            lambda name: self._unless_there(Path(name), lambda: self.export_song_to(Path(name)))
        )
        dialog.open()

    def export_song_to(self, path: Path) -> None:
        """Write the song as a file of a name."""
        self._bar.work(self.tr("Writing %1 …").replace("%1", path.name), self._cancel_export)
        self._slow_work.start(
            f"{FILE_WORK}:write_foreign",
            self._document.song,
            str(path),
            done=lambda written: self._exported(str(written)),
            failed=self._failed,
            name=EXPORTING,
        )

    def when_settled(self, then: Callable[[], object]) -> None:
        """Go on at once if nothing would be lost, else ask first."""
        if self._document.is_clean:
            then()
            return
        title = self._document.song.title
        self._bar.ask(
            self.tr("“%1” has changes that are not saved.").replace("%1", title),
            [
                Answer(self.tr("Save"), lambda: self.save(then)),
                Answer(self.tr("Go on without saving"), then),
                Answer(self.tr("Stay here"), lambda: None),
            ],
        )

    def _unless_there(self, path: Path, write: Callable[[], object]) -> None:
        """Write a file; ask before one that is there already is replaced."""
        if not path.exists():
            write()
            return
        self._bar.ask(
            self.tr("%1 is already there.").replace("%1", path.name),
            [Answer(self.tr("Replace it"), write), Answer(self.tr("Leave it"), lambda: None)],
        )

    def _open(self, path: Path) -> None:
        if path.suffix.lower() != LESSON_ENDING:
            self._bar.work(self.tr("Reading %1 …").replace("%1", path.name), self._cancel_opening)
            self._slow_work.start(
                f"{FILE_WORK}:read_foreign",
                str(path),
                done=lambda found: self._read(path, found),
                failed=self._failed,
                name=OPENING,
            )
        elif any(path.resolve() == demo for demo in demo_songs()):
            self._take(lambda: self._document.open_copy(path))
        else:
            self._take(lambda: self._document.open(path), recent=path)

    def _read(self, path: Path, found: Reading | tuple[str, ...]) -> None:
        self._bar.work_ended()
        if isinstance(found, tuple):
            self.several_tunes.emit(str(path), found)
            return
        self._take(lambda: self._document.take(found.song), recent=path)
        if found.warnings:
            more = len(found.warnings) - 1
            rest = self.tr(" (and %1 more)").replace("%1", str(more)) if more else ""
            self._bar.say(found.warnings[0] + rest)

    def _take(self, take: Callable[[], object], recent: Path | None = None) -> None:
        try:
            take()
        except PhrasebenchError as error:
            self._bar.say(str(error))
            return
        self._bar.settle()
        if recent is not None:
            self.remember(recent)
        self.opened.emit()

    def _saved(self, save: Callable[[], object], then: Callable[[], object] | None) -> None:
        try:
            save()
        except PhrasebenchError as error:
            self._bar.say(str(error))
            return
        path = self._document.path
        if path is not None:
            self.remember(path)
            said = self.tr("Saved as %1.")
            if not self._settings.settings.folder:
                self._settings.change(folder=str(path.absolute().parent))
                said = self.tr("Saved as %1. Songs lists the lessons of its folder from now on.")
            self._bar.note(said.replace("%1", path.name))
        if then is not None:
            then()

    def _write_plan(self, folder: Path) -> None:
        self._bar.work(self.tr("Writing the session plan …"), self._cancel_export)
        self._slow_work.start(
            f"{FILE_WORK}:write_session_plan",
            self._document.song,
            self._lesson_settings(),
            str(folder),
            done=lambda written: self._exported(str(Path(written[0]).parent)),
            failed=self._failed,
            name=EXPORTING,
        )

    def _exported(self, where: str) -> None:
        self._bar.work_ended()
        written = self.tr("Written to %1.").replace("%1", where)
        if reminder := self._rights_reminder():
            self._bar.say(f"{written} {reminder}")
        else:
            self._bar.note(written)

    def _remind_of_rights(self) -> None:
        if reminder := self._rights_reminder():
            self._bar.say(reminder)

    def _rights_reminder(self) -> str:
        """One line before anything is made of a song whose rights are not cleared; else an empty text."""
        song = self._document.song
        if song.standing.rights_cleared:
            return ""
        if song.rights:
            return self.tr("Before you sell or publish it, clear the song's rights (%1).").replace("%1", song.rights)
        return self.tr("Before you sell or publish it, clear the song's rights; no note of them is kept yet.")

    def _failed(self, sentence: str) -> None:
        self._bar.work_ended()
        self._bar.say(sentence)

    def _cancel_opening(self) -> None:
        self._slow_work.forget(OPENING)
        self._bar.work_ended()

    def _cancel_export(self) -> None:
        self._slow_work.forget(EXPORTING)
        self._bar.work_ended()

    def remember(self, path: Path) -> None:
        """Put a file at the head of the recent ones."""
        self._settings.change(recent=self._settings.settings.with_recent(str(path.absolute())))

    def _dialog(self, title: str, mode: QFileDialog.FileMode = QFileDialog.FileMode.AnyFile) -> QFileDialog:
        from app.widgets.file_dialog import file_dialog  # no start needs it

        start = (
            self._document.path.parent if self._document.path else Path(self._settings.settings.folder or Path.home())
        )
        return file_dialog(self._window, title, str(start), mode)


def file_stem(title: str) -> str:
    """A title as a file's name: letters, digits, spaces as lines below."""
    kept = "".join(letter if letter.isalnum() or letter in " -_" else "" for letter in title)
    return "_".join(kept.lower().split()) or "lesson"

"""The main window: head, workspaces, message bar, menus."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QCloseEvent, QResizeEvent
from PySide6.QtWidgets import QMainWindow, QStackedWidget, QVBoxLayout, QWidget

from app.background.slow_work import SlowWork
from app.document.document import LessonDocument
from app.document.lesson_store import save_lesson
from app.document.unsaved_copies import free_name
from app.draft.key_entry import KeyEntry
from app.listen.playback_engine import PlaybackEngine
from app.listen.player import Player
from app.settings.settings import FIRST_HINTS, Settings
from app.settings.settings_store import SettingsStore
from app.songs.known_lessons import known_lessons, taught_before
from app.widgets.message_bar import MessageBar
from app.widgets.selection import Place, Selection
from app.widgets.themes import Themes
from app.window.header import Header, Workspace
from app.window.hints import hint_for
from app.window.lesson_files import LessonFiles, file_stem
from app.window.many_plans import ManyPlans
from app.window.menus import Menus
from app.window.motion import Motion
from app.window.safe_keeping import SafeKeeping
from app.window.sheet_page import SheetPage
from core.session.timing import LessonSettings
from core.song.errors import PhrasebenchError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from app.camera.camera_view import CameraView
    from app.songs.new_lesson import NewLessonPage
    from app.songs.song_entry import SongEntry
    from app.songs.songs_view import SongsView
    from app.songs.tune_chooser import TuneChooser
    from app.songs.wish_page import WishPage
    from app.window.about_page import AboutPage
    from app.window.first_steps import FirstSteps
    from app.window.outputs_page import OutputsPage
    from app.window.phrases_page import PhrasesPage
    from app.window.reading_list import ReadingList
    from app.window.settings_page import SettingsPage
    from app.window.shortcuts_page import ShortcutsPage
    from core.song.song import Song

USUAL_SIZE: Final = (1280, 800)
SMALLEST_SIZE: Final = (900, 600)
KEEPING_MILLISECONDS: Final = 400
"""How long a new window size must stand before it is remembered."""


class MainWindow(QMainWindow):
    """One lesson, four workspaces."""

    workspace_shown = Signal(object)
    """The workspace that is shown now."""

    def __init__(
        self,
        document: LessonDocument,
        settings: SettingsStore,
        themes: Themes,
        engine: PlaybackEngine,
        slow_work: SlowWork,
    ) -> None:
        super().__init__()
        self.document = document
        self.settings = settings
        self.slow_work = slow_work
        self._engine = engine
        self._themes = themes
        self._may_close = False
        self._workspace = Workspace.DRAFT
        self._songs: SongsView | None = None
        self._camera: CameraView | None = None
        self._shortcuts: ShortcutsPage | None = None
        self._new_lesson: NewLessonPage | None = None
        self._settings_page: SettingsPage | None = None
        self._phrases: PhrasesPage | None = None
        self._outputs: OutputsPage | None = None
        self._tunes: TuneChooser | None = None
        self._about: AboutPage | None = None
        self._wish: WishPage | None = None
        self.first_steps: FirstSteps | None = None
        self._reading: ReadingList | None = None
        self.selection = Selection(self)
        self.player = Player(document, settings, engine, self)
        self.bar = MessageBar(self)
        self.header = Header(document, self.lesson_settings, self)
        self.page = SheetPage(document, self.selection, self.player, settings, themes, slow_work, self)
        self.files = LessonFiles(document, settings, slow_work, self.bar, self.lesson_settings, self)
        self.keeping = SafeKeeping(document, self.bar, settings.folder)
        self.many_plans = ManyPlans(slow_work, self.bar, self.lesson_settings, self)
        self.key_entry = KeyEntry(document, self.selection, self)
        self._stack = QStackedWidget(self)
        self._stack.addWidget(self.page)
        self._lay_out()
        self.menus = Menus(self)
        self._connect()
        self._keep_size = QTimer(self)
        self._keep_size.setSingleShot(True)
        self._keep_size.setInterval(KEEPING_MILLISECONDS)
        self._keep_size.timeout.connect(self._remember_size)
        chosen = settings.settings
        self.setMinimumSize(*SMALLEST_SIZE)
        self.resize(chosen.window_width or USUAL_SIZE[0], chosen.window_height or USUAL_SIZE[1])
        self._motion = Motion()
        self._motion.choose(chosen.motion)
        self.bar.let_move(self._motion.may_move)
        self._scale_text()
        self.page.sheet.set_lesson_settings(self.lesson_settings())
        self._lesson_opened()
        for sentence in settings.troubles:
            self.bar.say(sentence)

    def _lay_out(self) -> None:
        ground = QWidget(self)
        layout = QVBoxLayout(ground)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.header)
        layout.addWidget(self._stack, 1)
        layout.addWidget(self.bar)
        self._column = layout
        self.setCentralWidget(ground)

    def show_first_steps(self) -> None:
        """Show the hints of a first start, until they have been done or put away."""
        if self.first_steps is None and self.settings.settings.hints_done < FIRST_HINTS:
            from app.window.first_steps import FirstSteps

            self.first_steps = FirstSteps(self.document, self.player, self.settings, self.workspace_shown.connect, self)
            self._column.insertWidget(self._column.indexOf(self.bar), self.first_steps)

    def _connect(self) -> None:
        self.document.message.connect(self.bar.say)
        self.page.refused.connect(self.bar.say)
        self.player.message.connect(self.bar.say)
        self.player.told.connect(self.bar.note)
        self.settings.trouble.connect(self.bar.say)
        self.settings.changed.connect(self._settings_changed)
        self.header.chosen.connect(self.show_workspace)
        self.selection.changed.connect(self._selection_changed)
        self.document.song_changed.connect(self._show_title)
        self.document.song_changed.connect(self._show_hint)
        self.document.clean_changed.connect(self._show_title)
        self.document.path_changed.connect(self._show_title)
        self.page.desk.settled.connect(self.bar.settle)
        self.page.keyboard.key_pressed.connect(self._key_struck)
        self._engine.key.connect(lambda midi, _velocity, on, _seconds: self._key_struck(midi) if on else None)
        self.page.desk.chord_field.faulty.connect(self.bar.say)
        self.page.desk.chord_field.mended.connect(self.bar.settle)
        self.page.sheet.refused.connect(self.bar.say)
        self.page.sheet.menu_wanted.connect(self.menus.pop_up)
        self.files.opened.connect(self._lesson_opened)
        self.files.opened.connect(self.keeping.look_for_copies)
        self.keeping.taken_up.connect(self._lesson_opened)
        self.files.several_tunes.connect(self.choose_tune)
        self._stack.currentChanged.connect(self._page_changed)

    @property
    def workspace(self) -> Workspace:
        """The workspace that is shown."""
        return self._workspace

    @property
    def songs(self) -> SongsView:
        """The list of songs; made when it is first wanted."""
        if self._songs is None:
            from app.songs.songs_view import SongsView

            self._songs = SongsView(self.slow_work, self.settings.settings.folder, self.settings.folder, self)
            self._songs.message.connect(self.bar.say)
            self._songs.plans_wanted.connect(self.many_plans.ask_where)
            self._songs.wish_wanted.connect(self.show_wish)
            self._songs.open_wanted.connect(self._open_from_songs)
            self._songs.folder_chosen.connect(lambda folder: self.settings.change(folder=folder))
            self._stack.addWidget(self._songs)
        return self._songs

    @property
    def camera(self) -> CameraView:
        """The prompter; made when it is first wanted."""
        if self._camera is None:
            from app.camera.camera_view import CameraView

            self._camera = CameraView(self.document, self._themes, self)
            self._camera.set_lesson_settings(self.lesson_settings())
            self._camera.message.connect(self.bar.say)
            self._stack.addWidget(self._camera)
        return self._camera

    def lesson_settings(self) -> LessonSettings:
        """How lessons are given, by the settings."""
        return self.settings.settings.lesson()

    def show_workspace(self, workspace: Workspace) -> None:
        """Show another workspace and give it the keyboard's attention."""
        if workspace in (Workspace.SONGS, Workspace.CAMERA):
            self.player.stop()
        self._workspace = workspace
        self.header.show_workspace(workspace)
        self.bar.settle()
        if workspace is Workspace.SONGS:
            self._stack.setCurrentWidget(self.songs)
            self.songs.refresh(self.document.path)
            self.songs.list.setFocus(Qt.FocusReason.OtherFocusReason)
        elif workspace is Workspace.CAMERA:
            self._stack.setCurrentWidget(self.camera)
            self.camera.refresh()
            self.camera.setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            self._stack.setCurrentWidget(self.page)
            self.page.show_workspace(workspace)
            self.page.sheet.setFocus(Qt.FocusReason.OtherFocusReason)
        self._show_hint()
        self.workspace_shown.emit(workspace)

    def _turn_to(self, page: QWidget, hint: str) -> None:
        """Show a page in place of the workspace."""
        if self._stack.indexOf(page) < 0:
            self._stack.addWidget(page)
        self.bar.hint(hint)
        self._stack.setCurrentWidget(page)

    def new_lesson(self) -> None:
        """Show the page on which a new lesson is begun."""
        if self._new_lesson is None:
            from app.songs.new_lesson import NewLessonPage

            self._new_lesson = NewLessonPage(self._begin, self._back_to_work, self)
        self.player.stop()
        self._turn_to(self._new_lesson, self.tr("Enter begins the lesson, Esc goes back to work."))
        self._new_lesson.start()

    def show_about(self) -> None:
        """Show the page on which facts about the open lesson are kept."""
        if self._about is None:
            from app.window.about_page import AboutPage

            self._about = AboutPage(self.document, self._back_to_work, self)
        self.player.stop()
        self._turn_to(self._about, self.tr("Every change counts at once; Esc goes back to work."))
        self._about.start()

    def show_wish(self) -> None:
        """Show the page on which a song that somebody asked for is noted."""
        folder = self.settings.settings.folder
        if not folder:
            self.bar.say(self.tr("Choose the folder in which you keep your lessons first; the wish is kept there."))
            return
        if self._wish is None:
            from app.songs.wish_page import WishPage

            self._wish = WishPage(self._note_wish, self._back_to_work, self.lessons_of_song, self)
        self._turn_to(self._wish, self.tr("Enter notes the wish, Esc goes back to work."))
        self._wish.start()

    def lessons_of_song(self, title: str) -> tuple[SongEntry, ...]:
        """The other lessons of a song that are known, by its title."""
        return known_lessons(self.settings.folder, title, self.document.path)

    def show_settings(self) -> None:
        """Show the page of settings."""
        if self._settings_page is None:
            from app.window.settings_page import SettingsPage

            self._settings_page = SettingsPage(self.settings, self.document, self._back_to_work, self)
            self._settings_page.refused.connect(self.bar.say)
            self._settings_page.folder_wanted.connect(self._choose_folder)
            self._settings_page.outputs_wanted.connect(self.show_outputs)
            self._settings_page.phrases_wanted.connect(self.show_phrases)
            self._engine.key.connect(self._settings_page.measure.key)
        self.player.stop()
        self._turn_to(self._settings_page, self.tr("Every change counts at once; Esc goes back to work."))
        self._settings_page.start(self.player.outputs, self.player.keyboards)

    def show_phrases(self) -> None:
        """Show the page of the teacher's own phrases for kinds of segments."""
        if self._phrases is None:
            from app.window.phrases_page import PhrasesPage

            self._phrases = PhrasesPage(self.settings, self.document, self._back_to_work, self)
            self._phrases.refused.connect(self.bar.say)
        self.player.stop()
        self._turn_to(self._phrases, self.tr("Every change counts at once; Esc goes back to work."))
        self._phrases.start()

    def show_outputs(self) -> None:
        """Show the page of everything that playing is heard through."""
        if self._outputs is None:
            from app.window.outputs_page import OutputsPage

            self._outputs = OutputsPage(self.settings, self._back_to_work, self)
            self._outputs.refused.connect(self.bar.say)
            page = self._outputs
            self._engine.ports.connect(lambda report: page.show_ports(report.outputs))
        self._turn_to(self._outputs, self.tr("Every change counts at once; Esc goes back to work."))
        self._outputs.start(self.player.outputs)

    def _choose_folder(self) -> None:
        from app.widgets.file_dialog import folder_dialog  # no start needs it

        dialog = folder_dialog(self, self.tr("Folder of lessons"), self.settings.settings.folder or str(Path.home()))
        dialog.fileSelected.connect(self._folder_chosen)
        dialog.open()

    def _folder_chosen(self, folder: str) -> None:
        self.settings.change(folder=folder)

    def choose_tune(self, path: str, titles: Sequence[str]) -> None:
        """Show the tunes of a book, one of which is to be opened."""
        if self._tunes is None:
            from app.songs.tune_chooser import TuneChooser

            self._tunes = TuneChooser(self.files.open, self._back_to_work, self)
        self._turn_to(self._tunes, self.tr("Type to filter, Enter opens the tune, Esc goes back to work."))
        self._tunes.show_book(path, titles)

    def show_shortcuts(self) -> None:
        """Show the page of keys, or go back from it."""
        if self._shortcuts is not None and self._stack.currentWidget() is self._shortcuts:
            self._back_to_work()
            return
        if self._shortcuts is None:
            from app.window.shortcuts_page import ShortcutsPage

            self._shortcuts = ShortcutsPage(self.menus.every_command(), self._back_to_work, self)
        self._turn_to(self._shortcuts, self.tr("Esc goes back to work."))
        self._shortcuts.setFocus(Qt.FocusReason.OtherFocusReason)

    def toggle_reading_list(self) -> None:
        """Show the selected part as a list in words, with the keyboard's attention on it, or put it away."""
        if self._reading is None:
            from app.window.reading_list import ReadingDock, ReadingList

            self._reading = ReadingList(self.document, self.selection, self)
            self._reading.done.connect(lambda: self.page.sheet.setFocus(Qt.FocusReason.OtherFocusReason))
            dock = ReadingDock(self._reading, self.toggle_reading_list, self)
            self.addDockWidget(Qt.DockWidgetArea.LeftDockWidgetArea, dock)
            dock.show()
        elif (around := self._reading.parentWidget()) is not None:
            around.setVisible(not around.isVisible())
        if self._reading.isVisible():
            self._reading.setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            self._back_to_work()

    def toggle_full_screen(self) -> None:
        """Fill the screen, or no longer."""
        if self.isFullScreen():
            self.showNormal()
        else:
            self.showFullScreen()

    def focusNextPrevChild(self, forwards: bool) -> bool:  # noqa: N802 - Qt's name
        """Let Tab follow the reading order."""
        from app.widgets.reading_order import move_focus  # no start needs it

        return move_focus(self, forwards=forwards) or super().focusNextPrevChild(forwards)

    def closeEvent(self, event: QCloseEvent) -> None:  # noqa: N802 - Qt's name
        """Close, unless something would be lost; then ask first, in the message bar."""
        if not self._may_close and not self.document.is_clean:
            event.ignore()
            self.files.when_settled(self._close_for_good)
            return
        self._keep_size.stop()
        self._remember_size()
        self.player.close()
        self.keeping.close()
        self.page.close_panels()
        self.page.doubtful.close()
        if self._songs is not None:
            self._songs.close_index()
        self.slow_work.close()
        super().closeEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Remember the window's size once it has settled."""
        super().resizeEvent(event)
        if self.isVisible():
            self._keep_size.start()

    def _close_for_good(self) -> None:
        self._may_close = True
        self.close()

    def _remember_size(self) -> None:
        if not self.isFullScreen() and not self.isMaximized():
            self.settings.change(window_width=self.width(), window_height=self.height())

    def _begin(self, song: Song) -> None:
        self._workspace = Workspace.DRAFT
        self.files.begin(song)

    def _note_wish(self, song: Song) -> None:
        try:
            path = save_lesson(song, free_name(Path(self.settings.settings.folder), file_stem(song.title))).path
        except PhrasebenchError as error:
            self.bar.say(str(error))
            return
        self.show_workspace(Workspace.SONGS)
        self.songs.refresh(path)
        self.bar.note(self.tr("“%1” is noted as %2.").replace("%1", song.title).replace("%2", path.name))

    def _back_to_work(self) -> None:
        self.show_workspace(self._workspace)

    def _open_from_songs(self, path: str) -> None:
        self.files.open(Path(path))

    def _lesson_opened(self) -> None:
        self.player.stop()
        self.selection.select(Place(1))
        self.header.refresh()
        self._show_title()
        if self._workspace is Workspace.SONGS:
            self._workspace = Workspace.DRAFT
        self.show_workspace(self._workspace)
        if sentence := taught_before(self.lessons_of_song(self.document.song.title)):
            self.bar.say(sentence)

    def _settings_changed(self, before: Settings, after: Settings) -> None:
        if before.theme != after.theme:
            self._themes.choose(after.theme)
        if before.motion != after.motion:
            self._motion.choose(after.motion)
            self.bar.let_move(self._motion.may_move)
        if before.text_scale != after.text_scale:
            self._scale_text()
        elif before.zoom != after.zoom:
            self.page.sheet.set_zoom(after.sheet_percent)
        if self._songs is not None and after.folder != self._songs.folder:
            self._songs.show_folder(after.folder)
        if before.lesson() != after.lesson():
            self.page.sheet.set_lesson_settings(self.lesson_settings())
            self.header.refresh()
            if self._camera is not None:
                self._camera.set_lesson_settings(self.lesson_settings())

    def _key_struck(self, midi: int) -> None:
        on_draft = self._stack.currentWidget() is self.page and self._workspace is Workspace.DRAFT
        if on_draft and self.player.piece is None:
            self.key_entry.key(midi)

    def _scale_text(self) -> None:
        settings = self.settings.settings
        self._themes.scale_text(settings.text_scale)
        self.page.sheet.set_zoom(settings.sheet_percent)
        self.header.name.show_title()

    def _page_changed(self) -> None:
        pages = (self.page, self._camera, self._settings_page, self._phrases, self._about)
        self.menus.let_undo(self._stack.currentWidget() in pages)

    def _selection_changed(self) -> None:
        self.bar.settle()
        self._show_hint()

    def _show_hint(self) -> None:
        naming = self.lesson_settings().way_of_naming
        self.bar.hint(hint_for(self.document.song, self.selection, self._workspace, naming))

    def _show_title(self) -> None:
        self.setWindowTitle(self.tr("%1[*] – Phrasebench").replace("%1", self.document.song.title))
        self.setWindowModified(not self.document.is_clean)

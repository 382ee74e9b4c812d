"""The menus: every command with its shortcut, so that the whole work can be done from the keys."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QPoint, Qt
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QApplication, QMenu, QWidget

from app.listen.piece import Piece
from app.settings.settings import (
    FASTEST_PERCENT,
    LARGEST_ZOOM,
    SLOWEST_PERCENT,
    SMALLEST_ZOOM,
    Settings,
    named_phrase,
)
from app.widgets.keyboard_view import AS_NEEDED
from app.widgets.selection import Kind, Place
from app.widgets.text_editors import TextField
from app.window.header import Workspace
from core.drawing.keyboard import SIZES
from core.performance.output import NOTHING, PIANO
from core.song.note import GRACE_ABOVE, GRACE_BELOW, TURN, Hand

if TYPE_CHECKING:
    from app.window.main_window import MainWindow

Keys = str | QKeySequence.StandardKey
SPEED_STEP = 10
ZOOM_STEP = 10
LAST_DIGIT = 9


class Menus(QObject):
    """Builds the window's menus."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._settings = window.settings
        self._undo_is_seen = True
        self._words_typed: TextField | None = None
        self.play = self._action(self.tr("Play or stop the part"), "Space", window.page.play_selected, window.page)
        self._file_menu()
        self._edit_menu()
        self._play_menu()
        self._view_menu()
        self._help_menu()
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.focusChanged.connect(self._focus_changed)
        self._settings.changed.connect(lambda _before, after: self._show_choices(after))
        self._show_choices(self._settings.settings)

    def pop_up(self, place: Place, point: QPoint) -> None:
        """Show the menu of a note, a chord or a part at a point of the screen."""
        menus = {Kind.NOTE: self.note_menu, Kind.CHORD: self.chord_menu, Kind.PART: self.part_menu}
        menus[place.kind].popup(point)

    def let_undo(self, seen: bool) -> None:
        """Say whether what undo changes can be seen just now; where it cannot, there is no undo."""
        self._undo_is_seen = seen
        self._match_undo()

    def _match_undo(self) -> None:
        stack = self._window.document.undo_stack
        self.undo.setEnabled(self._undo_is_seen and stack.canUndo())
        self.redo.setEnabled(self._undo_is_seen and stack.canRedo())

    def every_command(self) -> list[tuple[str, list[QAction]]]:
        """Each menu's title with its commands that have a shortcut, for the page of shortcuts."""
        found = []
        for entry in self._window.menuBar().actions():
            menu = entry.menu()
            if isinstance(menu, QMenu):
                commands = [action for action in _all_actions(menu) if _keys_of(action)]
                if commands:
                    found.append((entry.text().replace("&", ""), commands))
        return found

    def _action(
        self,
        text: str,
        keys: Keys | tuple[Keys, ...] = (),
        does: Callable[[], object] | None = None,
        on: QWidget | None = None,
    ) -> QAction:
        """A command; with `on`, its keys count only while that widget has the keyboard's attention."""
        action = QAction(text, self._window)
        wanted = keys if isinstance(keys, tuple) else (keys,)
        action.setShortcuts([QKeySequence(key) for key in wanted])
        if does is not None:
            action.triggered.connect(lambda: does())
        if on is not None:
            action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            on.addAction(action)
        return action

    def _file_menu(self) -> None:
        files = self._window.files
        menu = self._window.menuBar().addMenu(self.tr("&File"))
        menu.addAction(self._action(self.tr("&New lesson"), QKeySequence.StandardKey.New, self._window.new_lesson))
        menu.addAction(self._action(self.tr("&Open…"), QKeySequence.StandardKey.Open, files.open_dialog))
        menu.addAction(self._action(self.tr("Open what was &played…"), does=files.open_played_dialog))
        self.recent = menu.addMenu(self.tr("Open &recent"))
        self.recent.aboutToShow.connect(self._fill_recent)
        menu.addSeparator()
        menu.addAction(self._action(self.tr("&Save"), QKeySequence.StandardKey.Save, files.save))
        menu.addAction(self._action(self.tr("Save &as…"), "Ctrl+Shift+S", files.save_as))
        menu.addSeparator()
        menu.addAction(self._action(self.tr("A&bout this lesson…"), "Ctrl+Shift+I", self._window.show_about))
        menu.addSeparator()
        menu.addAction(self._action(self.tr("Export session &plan…"), "Ctrl+E", files.export_plan))
        menu.addAction(self._action(self.tr("Export Music&XML…"), (), lambda: files.export_song(".musicxml")))
        menu.addAction(self._action(self.tr("Export &MIDI…"), (), lambda: files.export_song(".mid")))
        menu.addSeparator()
        menu.addAction(self._action(self.tr("&Quit"), "Ctrl+Q", self._window.close))

    def _fill_recent(self) -> None:
        self.recent.clear()
        for name in self._settings.settings.recent:
            path = Path(name)
            action = self.recent.addAction(f"{path.name}   ({path.parent.name})")
            action.setToolTip(name)
            action.triggered.connect(lambda _=False, path=path: self._window.files.open(path))
        if self.recent.isEmpty():
            self.recent.addAction(self.tr("Nothing opened yet")).setEnabled(False)

    def _edit_menu(self) -> None:
        menu = self._window.menuBar().addMenu(self.tr("&Edit"))
        stack = self._window.document.undo_stack
        self.undo = undo = stack.createUndoAction(self._window, self.tr("&Undo"))
        undo.setShortcuts(QKeySequence.StandardKey.Undo)
        self.redo = redo = stack.createRedoAction(self._window, self.tr("&Redo"))
        stack.canUndoChanged.connect(self._match_undo)
        stack.canRedoChanged.connect(self._match_undo)
        again = [*QKeySequence.keyBindings(QKeySequence.StandardKey.Redo), QKeySequence("Ctrl+Y")]
        redo.setShortcuts(list(dict.fromkeys(again)))
        menu.addActions([undo, redo])
        menu.addSeparator()
        page = self._window.page
        desk, sheet = page.desk, page.sheet
        paste, every = QKeySequence.StandardKey.Paste, QKeySequence.StandardKey.SelectAll
        notes = desk.notes
        menu.addAction(self._action(self.tr("Cu&t"), QKeySequence.StandardKey.Cut, notes.cut, sheet))
        menu.addAction(self._action(self.tr("&Copy"), QKeySequence.StandardKey.Copy, notes.copy, sheet))
        menu.addAction(self._action(self.tr("&Paste at the selected note"), paste, notes.paste, sheet))
        menu.addAction(self._action(self.tr("Paste and move later notes on"), "Ctrl+Shift+V", notes.push, sheet))
        menu.addAction(self._action(self.tr("Repeat behind themselves"), "Ctrl+Shift+R", notes.repeat, sheet))
        pushing = self.tr("Repeat and move later notes on")
        menu.addAction(self._action(pushing, "Ctrl+Alt+R", notes.push_repeat, sheet))
        menu.addAction(self._action(self.tr("Select the part's notes, then all"), every, notes.select_all, sheet))
        menu.addSeparator()
        menu.addAction(self._action(self.tr("Remove the notes or the chord"), "Del", desk.remove, sheet))
        menu.addAction(self._action(self.tr("Earlier"), "Alt+Left", lambda: desk.move_in_time(-1), sheet))
        menu.addAction(self._action(self.tr("Later"), "Alt+Right", lambda: desk.move_in_time(1), sheet))
        self.phrases = menu.addMenu(self.tr("&Insert one of your phrases"))
        self.phrases.aboutToShow.connect(self._fill_phrases)
        menu.addSeparator()
        self.note_menu = menu.addMenu(self.tr("&Note"))
        self._fill_note_menu(self.note_menu, sheet)
        self.chord_menu = menu.addMenu(self.tr("&Chord"))
        self.chord_menu.addAction(self._action(self.tr("Name the chord"), ("Return", "Enter"), desk.press_enter, sheet))
        self.chord_menu.addAction(self._action(self.tr("New chord here"), "Ctrl+K", desk.add_chord, sheet))
        self.part_menu = menu.addMenu(self.tr("&Part"))
        self._fill_part_menu(self.part_menu, sheet)

    def _fill_phrases(self) -> None:
        """Offer the teacher's own phrases for the words that are being typed, or were typed last."""
        self.phrases.clear()
        words = self._words_typed
        for number, line in enumerate(self._settings.settings.phrases, 1):
            name, text = named_phrase(line)
            action = self.phrases.addAction(f"&{number} {name}" if number <= LAST_DIGIT else name)
            action.setEnabled(words is not None and words.isVisible())
            if words is not None:
                action.triggered.connect(partial(_insert, words, text))
        if self.phrases.isEmpty():
            self.phrases.addAction(self.tr("None yet; write them in Settings")).setEnabled(False)

    def _focus_changed(self, _before: QWidget | None, now: QWidget | None) -> None:
        if isinstance(now, TextField) and self._window.page.draft_panel.isAncestorOf(now):
            self._words_typed = now

    def _fill_note_menu(self, menu: QMenu, sheet: QWidget) -> None:
        desk = self._window.page.desk
        notes = desk.notes
        menu.addAction(self._action(self.tr("New note behind it"), "Ctrl+I", notes.add, sheet))
        entry = self._window.key_entry
        self.entry = self._action(self.tr("Write what is played"), "Ctrl+Shift+K")
        self.entry.setCheckable(True)
        self.entry.toggled.connect(entry.switch)
        menu.addAction(self.entry)
        menu.addSeparator()
        menu.addAction(self._action(self.tr("A step up in the key"), "Alt+Up", lambda: notes.move_by_step(1), sheet))
        menu.addAction(
            self._action(self.tr("A step down in the key"), "Alt+Down", lambda: notes.move_by_step(-1), sheet)
        )
        menu.addAction(self._action(self.tr("A semitone up"), "Alt+Shift+Up", lambda: notes.move_by_semitone(1), sheet))
        menu.addAction(
            self._action(self.tr("A semitone down"), "Alt+Shift+Down", lambda: notes.move_by_semitone(-1), sheet)
        )
        menu.addSeparator()
        menu.addAction(self._action(self.tr("An octave up"), "Ctrl+Up", lambda: notes.move_by_semitone(12), sheet))
        menu.addAction(self._action(self.tr("An octave down"), "Ctrl+Down", lambda: notes.move_by_semitone(-12), sheet))
        menu.addSeparator()
        menu.addAction(self._action(self.tr("Longer"), "Alt+Shift+Right", lambda: notes.lengthen(1), sheet))
        menu.addAction(self._action(self.tr("Shorter"), "Alt+Shift+Left", lambda: notes.lengthen(-1), sheet))
        menu.addSeparator()
        right, left = partial(notes.give_to, Hand.RIGHT), partial(notes.give_to, Hand.LEFT)
        menu.addAction(self._action(self.tr("Played by the right hand"), "R", right, sheet))
        menu.addAction(self._action(self.tr("Played by the left hand"), "L", left, sheet))
        menu.addSeparator()
        fingers = menu.addMenu(self.tr("Finger"))
        names = (
            self.tr("Thumb"),
            self.tr("Second finger"),
            self.tr("Third finger"),
            self.tr("Fourth finger"),
            self.tr("Little finger"),
        )
        for finger, name in enumerate(names, 1):
            fingers.addAction(self._action(name, str(finger), partial(desk.finger, finger), sheet))
        fingers.addAction(self._action(self.tr("Finger as computed"), "0", lambda: desk.finger(None), sheet))

        ornaments = menu.addMenu(self.tr("Ornament"))
        for name, title, keys in (
            (GRACE_ABOVE, self.tr("Grace note from above"), "Ctrl+G"),
            (GRACE_BELOW, self.tr("Grace note from below"), "Ctrl+Shift+G"),
            (TURN, self.tr("Turn"), "Ctrl+T"),
        ):
            ornaments.addAction(self._action(title, keys, partial(notes.ornament, name), sheet))

    def _fill_part_menu(self, menu: QMenu, sheet: QWidget) -> None:
        page = self._window.page
        cuts = page.desk.cuts
        menu.addAction(self._action(self.tr("Split here"), "Ctrl+D", cuts.split, page))
        menu.addAction(self._action(self.tr("Join with the next part"), "Ctrl+J", cuts.join, page))
        menu.addAction(self._action(self.tr("Propose cuts for the whole song"), "Ctrl+Shift+P", cuts.propose, page))
        menu.addSeparator()
        menu.addAction(self._action(self.tr("Cut a beat earlier"), "Ctrl+Left", lambda: cuts.move_by_beats(-1), sheet))
        menu.addAction(self._action(self.tr("Cut a beat later"), "Ctrl+Right", lambda: cuts.move_by_beats(1), sheet))
        menu.addAction(
            self._action(self.tr("Cut at the bar line before"), "Ctrl+Shift+Left", lambda: cuts.move_by_bars(-1), sheet)
        )
        menu.addAction(
            self._action(self.tr("Cut at the next bar line"), "Ctrl+Shift+Right", lambda: cuts.move_by_bars(1), sheet)
        )
        menu.addSeparator()
        asides = page.draft_panel.asides
        menu.addAction(self._action(self.tr("Aside here, if you like"), "Ctrl+Shift+A", asides.add_here, page))
        menu.addSeparator()
        menu.addAction(self._action(self.tr("Add a bar at the part's end"), "Ctrl+B", cuts.add_bar, page))
        menu.addAction(self._action(self.tr("Remove its empty last bar"), "Ctrl+Shift+B", cuts.remove_bar, page))
        menu.addSeparator()
        self.taught = self._action(self.tr("Teach this part"))
        self.taught.setCheckable(True)
        self.taught.triggered.connect(lambda checked=False: cuts.set_taught(checked))
        menu.aboutToShow.connect(lambda: self.taught.setChecked(cuts.is_taught))
        menu.addAction(self.taught)

    def _play_menu(self) -> None:
        menu = self._window.menuBar().addMenu(self.tr("&Play"))
        page = self._window.page
        menu.addAction(self.play)
        menu.addAction(
            self._action(self.tr("Parts 1 to the selected one"), "Shift+Space", page.play_through_selected, page)
        )
        menu.addAction(self._action(self.tr("The whole song"), "Ctrl+Return", page.play_song, page))
        self.segments = menu.addMenu(self.tr("A segment as it is recorded"))
        self.segments.aboutToShow.connect(self._fill_segments)
        menu.addAction(self._action(self.tr("Silence everything"), ("Ctrl+.", "Pause"), self._window.player.silence))
        menu.addSeparator()
        hands = QActionGroup(self)
        self._hands: dict[str, QAction] = {}
        for name, text, keys in (
            ("right", self.tr("Right hand"), "Ctrl+1"),
            ("left", self.tr("Left hand"), "Ctrl+2"),
            ("both", self.tr("Both hands"), "Ctrl+3"),
        ):
            action = self._action(text, keys, partial(self._settings.change, hands=name))
            action.setCheckable(True)
            hands.addAction(action)
            menu.addAction(action)
            self._hands[name] = action
        menu.addSeparator()
        menu.addAction(self._action(self.tr("Slower"), "F7", lambda: self._change_speed(-SPEED_STEP)))
        menu.addAction(self._action(self.tr("Faster"), "F8", lambda: self._change_speed(SPEED_STEP)))
        menu.addSeparator()
        self._switches: dict[str, QAction] = {}
        for field, text, keys in (
            ("count_in", self.tr("Count in"), "Ctrl+U"),
            ("again", self.tr("Again and again"), "Ctrl+R"),
            ("metronome", self.tr("Metronome"), "Ctrl+M"),
        ):
            action = self._action(text, keys)
            action.setCheckable(True)
            action.triggered.connect(lambda checked=False, field=field: self._settings.change(**{field: checked}))
            menu.addAction(action)
            self._switches[field] = action
        menu.addSeparator()
        self.outputs = menu.addMenu(self.tr("Heard through"))
        self.outputs.aboutToShow.connect(self._fill_outputs)
        self.keyboards = menu.addMenu(self.tr("Keyboard"))
        self.keyboards.aboutToShow.connect(self._fill_keyboards)

    def _fill_segments(self) -> None:
        self.segments.clear()
        player = self._window.player
        for number, title in player.segments():
            action = self.segments.addAction(f"{number}  {title}")
            action.triggered.connect(lambda _=False, number=number: player.play(Piece("segment", number)))

    def _fill_outputs(self) -> None:
        self.outputs.clear()
        group = QActionGroup(self.outputs)
        chosen = self._settings.settings.output
        named = [(PIANO, self.tr("Built-in piano")), *((port, port) for port in self._window.player.outputs)]
        for name, text in (*named, (NOTHING, self.tr("Nothing"))):
            action = self.outputs.addAction(text)
            action.setCheckable(True)
            action.setChecked(name == chosen)
            action.triggered.connect(lambda _=False, name=name: self._settings.change(output=name))
            group.addAction(action)
        self.outputs.addSeparator()
        silent = self.outputs.addAction(self.tr("The instrument's own keys are silent"))
        silent.setCheckable(True)
        silent.setChecked(self._settings.settings.local_off)
        silent.triggered.connect(lambda checked=False: self._settings.change(local_off=checked))

    def _fill_keyboards(self) -> None:
        self.keyboards.clear()
        group = QActionGroup(self.keyboards)
        chosen = self._settings.settings.keyboard
        names = dict.fromkeys((*self._window.player.keyboards, *([chosen] if chosen else [])))
        for name, text in (*((port, port) for port in names), ("", self.tr("None"))):
            action = self.keyboards.addAction(text)
            action.setCheckable(True)
            action.setChecked(name == chosen)
            action.triggered.connect(lambda _=False, name=name: self._settings.change(keyboard=name))
            group.addAction(action)
        self.keyboards.addSeparator()
        heard = self.keyboards.addAction(self.tr("Heard through the built-in piano"))
        heard.setCheckable(True)
        heard.setChecked(self._settings.settings.keyboard_heard)
        heard.triggered.connect(lambda checked=False: self._settings.change(keyboard_heard=checked))
        quick = self.keyboards.addAction(self.tr("Heard at once (may crackle on a busy machine)"))
        quick.setCheckable(True)
        quick.setChecked(self._settings.settings.low_latency)
        quick.triggered.connect(lambda checked=False: self._settings.change(low_latency=checked))

    def _view_menu(self) -> None:
        menu = self._window.menuBar().addMenu(self.tr("&View"))
        for workspace, text, keys in (
            (Workspace.SONGS, self.tr("&Songs"), "F2"),
            (Workspace.DRAFT, self.tr("&Draft"), "F3"),
            (Workspace.LISTEN, self.tr("&Listen"), "F4"),
            (Workspace.CAMERA, self.tr("&Camera"), "F5"),
        ):
            show = self._action(text, keys, partial(self._window.show_workspace, workspace))
            menu.addAction(show)
        menu.addSeparator()
        themes = menu.addMenu(self.tr("&Theme"))
        group = QActionGroup(self)
        self._themes: dict[str, QAction] = {}
        for name, text in (
            ("system", self.tr("As the system has it")),
            ("light", self.tr("Light")),
            ("dark", self.tr("Dark")),
        ):
            action = self._action(text, (), partial(self._settings.change, theme=name))
            action.setCheckable(True)
            group.addAction(action)
            themes.addAction(action)
            self._themes[name] = action
        menu.addAction(
            self._action(
                self.tr("Larger sheet"), (QKeySequence.StandardKey.ZoomIn, "Ctrl+="), lambda: self._zoom(ZOOM_STEP)
            )
        )
        menu.addAction(
            self._action(self.tr("Smaller sheet"), QKeySequence.StandardKey.ZoomOut, lambda: self._zoom(-ZOOM_STEP))
        )
        menu.addAction(self._action(self.tr("Sheet at 100 %"), "Ctrl+0", lambda: self._settings.change(zoom=100)))
        menu.addSeparator()
        sizes = menu.addMenu(self.tr("&Keys on the screen"))
        choices = QActionGroup(self)
        self._sizes: dict[int, QAction] = {}
        for size in (AS_NEEDED, *SIZES):
            text = self.tr("%1 keys").replace("%1", str(size)) if size else self.tr("As many as the song needs")
            action = self._action(text, (), partial(self._settings.change, keys_shown=size))
            action.setCheckable(True)
            choices.addAction(action)
            sizes.addAction(action)
            self._sizes[size] = action
        self.key_names = self._action(self.tr("&Names on the keys"), "F9")
        self.key_names.setCheckable(True)
        self.key_names.triggered.connect(lambda checked=False: self._settings.change(key_names=checked))
        menu.addAction(self.key_names)
        menu.addSeparator()
        self.reading = self._action(self.tr("The part in &words"), "Ctrl+L", self._window.toggle_reading_list)
        menu.addAction(self.reading)
        menu.addAction(self._action(self.tr("S&ettings…"), ("Ctrl+,", "F6"), self._window.show_settings))
        menu.addAction(self._action(self.tr("&Phrases of segments…"), "Shift+F6", self._window.show_phrases))
        menu.addAction(self._action(self.tr("Full screen"), "F11", self._window.toggle_full_screen))

    def _help_menu(self) -> None:
        menu = self._window.menuBar().addMenu(self.tr("&Help"))
        menu.addAction(self._action(self.tr("&Keys and mouse"), "F1", self._window.show_shortcuts))

    def _show_choices(self, settings: Settings) -> None:
        self._hands[settings.hands].setChecked(True)
        self._themes[settings.theme].setChecked(True)
        self._sizes[settings.keys_shown].setChecked(True)
        self.key_names.setChecked(settings.key_names)
        for field, action in self._switches.items():
            action.setChecked(bool(getattr(settings, field)))

    def _change_speed(self, step: int) -> None:
        speed = self._settings.settings.speed + step
        self._settings.change(speed=min(max(SLOWEST_PERCENT, speed), FASTEST_PERCENT))

    def _zoom(self, step: int) -> None:
        zoom = self._settings.settings.zoom + step
        self._settings.change(zoom=min(max(SMALLEST_ZOOM, zoom), LARGEST_ZOOM))


def _insert(words: TextField, text: str) -> None:
    words.setFocus()
    words.insertPlainText(text)


def _all_actions(menu: QMenu) -> list[QAction]:
    found: list[QAction] = []
    for action in menu.actions():
        inner = action.menu()
        if isinstance(inner, QMenu):
            found.extend(_all_actions(inner))
        elif not action.isSeparator():
            found.append(action)
    return found


def _keys_of(action: QAction) -> bool:
    return not action.shortcut().isEmpty()

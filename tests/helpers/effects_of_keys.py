"""What each key that the page of keys names is seen to do; given as what is looked at, and what it becomes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QDeadlineTimer, Qt
from PySide6.QtWidgets import QApplication, QFileDialog, QWidget

from app.listen.piece import Piece
from app.settings.settings import Settings
from app.widgets.selection import Kind, Place
from app.window.header import Workspace
from core.song.note import GRACE_ABOVE, GRACE_BELOW, TURN, Hand
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.open_window import OpenWindow
from tests.helpers.typing_hands import TypingHands

PATIENCE = 60_000
"""Milliseconds to wait at most for the helper process."""
KEPT = frozenset({"window_width", "window_height"})


class Bench:
    """The open window, as somebody finds it who presses one key."""

    def __init__(self, opened: OpenWindow, folder: Path) -> None:
        self.opened = opened
        self.window = opened.window
        self.folder = folder
        self.hands = TypingHands(opened.window)

    def begin_anew(self) -> None:
        """Everything as it was at the beginning."""
        popup = QApplication.activePopupWidget()
        if popup is not None:
            popup.close()
        for dialog in self.window.findChildren(QFileDialog):
            dialog.reject()
        self.window.page.desk.chord_field.close()
        self.window.bar.withdraw()
        self.window.player.stop()
        if self.window.isFullScreen():
            self.window.showNormal()
        self.opened.document.undo_stack.setIndex(0)
        usual = Settings()
        self.opened.settings.change(
            **{name: getattr(usual, name) for name in Settings.__struct_fields__ if name not in KEPT}
        )
        self.window.show_workspace(Workspace.DRAFT)
        QApplication.processEvents()
        self.window.activateWindow()
        self.window.page.sheet.setFocus()
        self.select(Place(2, Kind.NOTE, 0))

    def select(self, place: Place) -> None:
        self.window.selection.select(place)
        QApplication.processEvents()

    def focus(self, widget: QWidget) -> None:
        widget.setFocus(Qt.FocusReason.TabFocusReason)
        QApplication.processEvents()

    @property
    def place(self) -> Place:
        return self.window.selection.place

    @property
    def names(self) -> list[str]:
        """Those of part 2, whose first note is selected."""
        return [note.pitch.plain for note in self.opened.song.parts[1].notes]

    @property
    def at(self) -> str:
        return self.hands.at.accessibleName()

    @property
    def quarters(self) -> list[float]:
        """The lengths of the parts."""
        return [part.duration / TICKS_PER_QUARTER for part in self.opened.song.parts]

    @property
    def dialog(self) -> tuple[str, str]:
        """Title and way of asking of the dialog that is open."""
        for dialog in self.window.findChildren(QFileDialog):
            if dialog.isVisible():
                return dialog.windowTitle(), dialog.fileMode().name
        return "", ""


def as_it_is(_: Bench) -> None:
    """The beginning is all that is needed."""


@dataclass(frozen=True)
class Effect:
    """One key's effect.

    Attributes:
        seen: what is looked at.
        becomes: what it is once the key was pressed, and was not before.
        given: what is done first.
    """

    seen: Callable[[Bench], object]
    becomes: object
    given: Callable[[Bench], object] = as_it_is


def given_all(*steps: Callable[[Bench], object]) -> Callable[[Bench], None]:
    def do(bench: Bench) -> None:
        for step in steps:
            step(bench)

    return do


def pressed(*keys: str) -> Callable[[Bench], None]:
    def press(bench: Bench) -> None:
        for key in keys:
            bench.hands.press_written(key)

    return press


def typed(text: str) -> Callable[[Bench], None]:
    return lambda bench: bench.hands.type(text)


def at(part: int, kind: Kind = Kind.NOTE, index: int = 0) -> Callable[[Bench], None]:
    return lambda bench: bench.select(Place(part, kind, index))


def setting(**values: object) -> Callable[[Bench], None]:
    return lambda bench: bench.opened.settings.change(**values)


def of_settings(name: str) -> Callable[[Bench], object]:
    return lambda bench: getattr(bench.opened.settings.settings, name)


def shown(bench: Bench) -> str:
    """The page that is shown."""
    page = bench.window._stack.currentWidget()
    return type(page).__name__


def plays(bench: Bench) -> Piece | None:
    return bench.window.player.piece


def workspace(bench: Bench) -> Workspace:
    return bench.window.workspace


def note(bench: Bench) -> object:
    return bench.opened.song.parts[1].notes[0]


def finger(bench: Bench) -> int | None:
    return bench.opened.song.parts[1].notes[0].finger


def ornament(bench: Bench) -> str:
    return bench.opened.song.parts[1].notes[0].ornament


def beats(bench: Bench) -> tuple[float, float]:
    """Onset and length of the selected note."""
    place = bench.place
    found = bench.opened.song.parts[place.part - 1].notes[place.index]
    return found.onset / TICKS_PER_QUARTER, found.duration / TICKS_PER_QUARTER


def several(bench: Bench) -> int:
    return len(bench.window.selection.several)


def names(bench: Bench) -> list[str]:
    return bench.names


def quarters(bench: Bench) -> list[float]:
    return bench.quarters


def place(bench: Bench) -> Place:
    return bench.place


def dialog(bench: Bench) -> tuple[str, str]:
    return bench.dialog


PART_TWO = ["C#5", "B4", "A4", "A4", "B4", "B4", "A4", "G4"]
RENAMED = ["D5", *PART_TWO[1:]]
CHORD = Kind.CHORD
PART = Kind.PART


def save_first(bench: Bench) -> None:
    """The lesson has a file, and a change since."""
    bench.opened.document.save_as(bench.folder / "night_ferry.lesson")
    bench.hands.type("d")


FILE = {
    "Ctrl+N": Effect(shown, "NewLessonPage"),
    "Ctrl+O": Effect(dialog, ("Open a lesson or a song", "ExistingFile")),
    "Ctrl+S": Effect(lambda bench: bench.opened.document.is_clean, True, save_first),
    "Ctrl+Shift+S": Effect(dialog, ("Save the lesson", "AnyFile")),
    "Ctrl+Shift+I": Effect(shown, "AboutPage"),
    "Ctrl+E": Effect(dialog, ("Folder for the session plan", "Directory")),
    "Ctrl+Q": Effect(lambda bench: bench.window.bar.is_asking, True, typed("d")),
}


def without_chords(bench: Bench) -> None:
    """Only where no chord is can the left hand take notes of its own."""
    for index in (1, 0):
        bench.select(Place(2, CHORD, index))
        bench.hands.press_written("Del")
    bench.select(Place(2, Kind.NOTE, 0))


UNDONE = Effect(names, PART_TWO, typed("d"))
DONE_AGAIN = Effect(names, RENAMED, given_all(typed("d"), pressed("Ctrl+Z")))


def fingers() -> dict[str, Effect]:
    given = setting()
    found = {str(number): Effect(finger, number, given) for number in range(1, 6)}
    return {**found, "0": Effect(finger, None, pressed("4"))}


EDIT = {
    **dict.fromkeys(("Ctrl+Z", "Alt+Backspace", "Undo"), UNDONE),
    **dict.fromkeys(("Ctrl+Y", "Alt+Shift+Backspace", "Ctrl+Shift+Z", "Redo"), DONE_AGAIN),
    "Ctrl+X": Effect(names, PART_TWO[1:]),
    "Ctrl+C": Effect(
        lambda bench: (kept := bench.window.page.desk.notes._copied) and kept.notes[0][1].pitch.plain,
        "G4",
        given_all(pressed("Ctrl+C"), at(1, index=1)),
    ),
    "Ctrl+V": Effect(names, ["C#5", "C#5", *PART_TWO[2:]], given_all(pressed("Ctrl+C"), at(2, index=1))),
    "Ctrl+Shift+V": Effect(
        names, ["C#5", "C#5", *PART_TWO[1:]], given_all(pressed("Ctrl+B", "Ctrl+C"), at(2, index=1))
    ),
    "Ctrl+Shift+R": Effect(names, ["C#5", "C#5", *PART_TWO[2:]]),
    "Ctrl+Alt+R": Effect(names, ["C#5", "C#5", *PART_TWO[1:]], pressed("Ctrl+B")),
    "Ctrl+A": Effect(several, 8),
    "Del": Effect(names, PART_TWO[1:]),
    "Alt+Left": Effect(beats, (8.5, 1.0), at(2, index=5)),
    "Alt+Right": Effect(beats, (4.5, 3.0), at(2, index=4)),
    "Ctrl+I": Effect(names, ["C#5", "C#5", *PART_TWO[1:]]),
    "Ctrl+Shift+K": Effect(lambda bench: bench.window.menus.entry.isChecked(), True),
    "Alt+Up": Effect(names, RENAMED),
    "Alt+Down": Effect(names, ["B4", *PART_TWO[1:]]),
    "Alt+Shift+Up": Effect(names, RENAMED),
    "Alt+Shift+Down": Effect(names, ["C5", *PART_TWO[1:]]),
    "Ctrl+Up": Effect(names, ["C#6", *PART_TWO[1:]]),
    "Ctrl+Down": Effect(names, ["C#4", *PART_TWO[1:]]),
    "Alt+Shift+Right": Effect(beats, (4.0, 3.5), at(2, index=4)),
    "Alt+Shift+Left": Effect(beats, (0.0, 0.5)),
    "R": Effect(
        lambda bench: bench.opened.song.parts[1].notes[0].hand, Hand.RIGHT, given_all(without_chords, pressed("L"))
    ),
    "L": Effect(lambda bench: bench.opened.song.parts[1].notes[0].hand, Hand.LEFT, without_chords),
    **fingers(),
    "Ctrl+G": Effect(ornament, GRACE_ABOVE),
    "Ctrl+Shift+G": Effect(ornament, GRACE_BELOW),
    "Ctrl+T": Effect(ornament, TURN),
    **dict.fromkeys(
        ("Return", "Enter"),
        Effect(
            lambda bench: (field := bench.window.page.desk.chord_field.field) and field.text(), "G", at(2, CHORD, 1)
        ),
    ),
    "Ctrl+K": Effect(lambda bench: bench.at, "Name of the chord", at(2, index=5)),
    "Ctrl+D": Effect(quarters, [8, 4, 8, 12], at(2, index=4)),
    "Ctrl+J": Effect(quarters, [8, 24]),
    "Ctrl+Shift+P": Effect(
        lambda bench: "cuts" in bench.opened.document.undo_stack.undoText(), True, pressed("Ctrl+J")
    ),
    "Ctrl+Left": Effect(quarters, [8, 11, 13]),
    "Ctrl+Right": Effect(quarters, [8, 13, 11]),
    "Ctrl+Shift+Left": Effect(quarters, [8, 8, 16]),
    "Ctrl+Shift+Right": Effect(quarters, [8, 16, 8]),
    "Ctrl+Shift+A": Effect(lambda bench: len(bench.opened.song.parts[1].asides) or "Aside" in bench.at, True),
    "Ctrl+B": Effect(quarters, [8, 16, 12]),
    "Ctrl+Shift+B": Effect(quarters, [8, 12, 12], pressed("Ctrl+B")),
}
PLAY = {
    "Space": Effect(plays, Piece("part", 2)),
    "Shift+Space": Effect(plays, Piece("through", 2)),
    "Ctrl+Return": Effect(plays, Piece("song")),
    **dict.fromkeys(("Ctrl+.", "Pause"), Effect(plays, None, pressed("Ctrl+Return"))),
    "Ctrl+1": Effect(of_settings("hands"), "right"),
    "Ctrl+2": Effect(of_settings("hands"), "left"),
    "Ctrl+3": Effect(of_settings("hands"), "both", setting(hands="left")),
    "F7": Effect(of_settings("speed"), 90),
    "F8": Effect(of_settings("speed"), 110),
    "Ctrl+U": Effect(of_settings("count_in"), not Settings().count_in),
    "Ctrl+R": Effect(of_settings("again"), not Settings().again),
    "Ctrl+M": Effect(of_settings("metronome"), not Settings().metronome),
}
VIEW = {
    "F2": Effect(workspace, Workspace.SONGS),
    "F3": Effect(workspace, Workspace.DRAFT, pressed("F4")),
    "F4": Effect(workspace, Workspace.LISTEN),
    "F5": Effect(workspace, Workspace.CAMERA),
    **dict.fromkeys(("Ctrl++", "Ctrl+="), Effect(of_settings("zoom"), 110)),
    "Ctrl+-": Effect(of_settings("zoom"), 90),
    "Ctrl+0": Effect(of_settings("zoom"), 100, setting(zoom=150)),
    "F9": Effect(of_settings("key_names"), True),
    "Ctrl+L": Effect(lambda bench: bench.at, "Notes, chords and cuts of the selected part"),
    **dict.fromkeys(("Ctrl+,", "F6"), Effect(shown, "SettingsPage")),
    "Shift+F6": Effect(shown, "PhrasesPage"),
    "F11": Effect(lambda bench: bench.window.isFullScreen(), True),
}
HELP = {"F1": Effect(shown, "ShortcutsPage")}


def first_name(bench: Bench) -> str:
    """The first note's name without its octave."""
    return bench.names[0].rstrip("0123456789")


def chord_text(bench: Bench) -> str | None:
    field = bench.window.page.desk.chord_field.field
    return None if field is None else field.text()


def is_open(_: Bench) -> str:
    popup = QApplication.activePopupWidget()
    return "" if popup is None else popup.windowTitle() or type(popup).__name__


SHEET = {
    "Left": Effect(place, Place(2, Kind.NOTE, 0), at(2, index=1)),
    "Right": Effect(place, Place(2, Kind.NOTE, 1)),
    "Up": Effect(place, Place(1, CHORD, 0)),
    "Down": Effect(place, Place(2, CHORD, 0)),
    "Home": Effect(place, Place(2, Kind.NOTE, 0), at(2, index=5)),
    "PgUp": Effect(place, Place(1, Kind.NOTE, 0)),
    "PgDown": Effect(place, Place(3, Kind.NOTE, 0)),
    "Shift+Left": Effect(several, 2, at(2, index=5)),
    "Shift+Right": Effect(several, 2),
    "Shift+Home": Effect(several, 4, at(2, index=3)),
    "Shift+End": Effect(several, 8),
    "#": Effect(first_name, "F#", typed("f")),
    "Shift+B": Effect(first_name, "B", typed("e")),
    "Menu": Effect(is_open, "QMenu"),
    "Backspace": Effect(first_name, "E", typed("eb")),
    "Esc": Effect(first_name, "C#", typed("e")),
}
"""What is done with a letter depends on what is selected, see `NAMING`."""
NAMING = {
    **{key: (Effect(first_name, key), Effect(chord_text, key.lower(), at(2, CHORD, 1))) for key in "ACDEFG"},
    "B": (
        Effect(first_name, "B"),
        Effect(first_name, "Eb", typed("e")),
        Effect(chord_text, "b", at(2, CHORD, 1)),
    ),
    "H": (Effect(chord_text, "h", at(2, CHORD, 1)),),
    "Esc": (SHEET["Esc"], Effect(place, Place(2)), Effect(lambda bench: bench.names, PART_TWO, typed("d"))),
    "Backspace": (SHEET["Backspace"], Effect(names, PART_TWO[1:])),
}


def row_of_suggestions(bench: Bench) -> int:
    suggestions = bench.window.page.desk.chord_field.suggestions
    assert suggestions is not None
    return suggestions.currentRow()


begun_to_name = given_all(at(2, CHORD, 1), pressed("Return"), typed("D"))
NAMED = {
    "Down": Effect(row_of_suggestions, 0, begun_to_name),
    "Up": Effect(row_of_suggestions, 0, given_all(begun_to_name, pressed("Down", "Down"))),
    "Tab": Effect(chord_text, "Dmaj7", given_all(begun_to_name, pressed("Down"))),
    "Return": Effect(lambda bench: bench.opened.song.parts[1].chords[1].symbol.root.plain, "D", begun_to_name),
    "Esc": Effect(
        lambda bench: (chord_text(bench), bench.opened.song.parts[1].chords[1].symbol.root.plain),
        (None, "G"),
        begun_to_name,
    ),
}


def renaming(bench: Bench) -> None:
    bench.window.header.name.button.click()
    bench.hands.press_written("Ctrl+A")
    bench.hands.type("Ferry")


def title(bench: Bench) -> tuple[bool, str]:
    return bench.window.header.name.field.isVisible(), bench.opened.song.title


LINE = {
    "Return": Effect(title, (False, "Ferry"), renaming),
    "Esc": Effect(title, (False, "Night Ferry"), renaming),
}


def on_a_cut(bench: Bench) -> None:
    bench.focus(bench.window.page.sheet.cuts[0])


CUT = {
    "Left": Effect(quarters, [7, 13, 12], on_a_cut),
    "Right": Effect(quarters, [9, 11, 12], on_a_cut),
    "Shift+Left": Effect(quarters, [4, 16, 12], on_a_cut),
    "Shift+Right": Effect(quarters, [12, 8, 12], on_a_cut),
}


def on_keyboard(bench: Bench) -> None:
    bench.focus(bench.window.page.keyboard)
    bench.window.page.keyboard._walk_to(60)
    bench.opened.engine.told.clear()


KEYBOARD = {
    "Left": Effect(lambda bench: bench.window.page.keyboard._at_key, 59, on_keyboard),
    "Right": Effect(lambda bench: bench.window.page.keyboard._at_key, 61, on_keyboard),
    "Return": Effect(
        lambda bench: [told for told in bench.opened.engine.told if told[0] == "note"],
        [("note", 60, True), ("note", 60, False)],
        on_keyboard,
    ),
}


def on_edge(height: int) -> Callable[[Bench], None]:
    def do(bench: Bench) -> None:
        bench.focus(bench.window.page.band.grip)
        bench.opened.settings.change(keyboard_height=height)

    return do


EDGE = {
    "Up": Effect(lambda bench: bench.window.page.keyboard.height() > 150, True, on_edge(150)),
    "Down": Effect(lambda bench: bench.window.page.keyboard.height() < 150, True, on_edge(150)),
    "Home": Effect(of_settings("keyboard_height"), 0, on_edge(150)),
}


def drawing(bench: Bench) -> None:
    bench.window.show_workspace(Workspace.LISTEN)
    embellish = bench.window.page.listen_panel.embellish
    if not embellish.own.isVisible():
        embellish.draw.click()
    bench.focus(embellish.own.grid.cell("5", 1))


def cell(bench: Bench) -> str:
    return bench.at.split(" of ")[0]


PATTERN = {
    "Left": Effect(cell, "fifth, beat 1, cell 1", drawing),
    "Right": Effect(cell, "fifth, beat 2, cell 1", drawing),
    "Up": Effect(cell, "octave, beat 1, cell 2", drawing),
    "Down": Effect(cell, "root, beat 1, cell 2", drawing),
}


def segment(bench: Bench) -> int:
    found = bench.window.camera.segment
    assert found is not None
    return found.number


def on_camera(number: int) -> Callable[[Bench], None]:
    def do(bench: Bench) -> None:
        bench.window.show_workspace(Workspace.CAMERA)
        bench.window.camera._go_to(number - 1)

    return do


CAMERA = {
    **dict.fromkeys(("Space", "Right", "PgDown"), Effect(segment, 3, on_camera(2))),
    **dict.fromkeys(("Backspace", "Left", "PgUp"), Effect(segment, 1, on_camera(2))),
}


def on_songs(row: int) -> Callable[[Bench], None]:
    def do(bench: Bench) -> None:
        bench.window.show_workspace(Workspace.SONGS)
        songs, patience = bench.window.songs, QDeadlineTimer(PATIENCE)
        songs.filter.clear()
        while (songs.is_reading or songs.table.rowCount() < 2) and not patience.hasExpired():
            QApplication.processEvents()
        songs.list.selectRow(row)
        bench.focus(songs.list)

    return do


def looked_for(bench: Bench) -> tuple[str, str]:
    return bench.window.songs.filter.text(), bench.at


SONGS = {
    **{key: Effect(looked_for, (key.lower(), "Find songs"), on_songs(0)) for key in "ABCDEFGHIJKLMNOPQRSTUVWXYZ"},
    **{key: Effect(looked_for, (key, "Find songs"), on_songs(0)) for key in "0123456789"},
    "Shift+Down": Effect(lambda bench: len(bench.window.songs.selected_paths()), 2, on_songs(0)),
    "Shift+Up": Effect(lambda bench: len(bench.window.songs.selected_paths()), 2, on_songs(1)),
    "Return": Effect(lambda bench: bench.opened.song.title, "Heron at the Sluice", on_songs(0)),
}


def in_words(*keys: str) -> Callable[[Bench], None]:
    def do(bench: Bench) -> None:
        if bench.window._reading is None or not bench.window._reading.isVisible():
            bench.hands.press_written("Ctrl+L")
        reading = bench.window._reading
        assert reading is not None
        reading.setFocus()
        pressed(*keys)(bench)

    return do


WORDS = {
    "Up": Effect(place, Place(2, CHORD, 0), in_words()),
    "Down": Effect(place, Place(2, Kind.NOTE, 1), in_words()),
    "Left": Effect(place, Place(1), in_words()),
    "Right": Effect(place, Place(3), in_words()),
    **dict.fromkeys(
        ("Return", "Esc"), Effect(lambda bench: bench.hands.at is bench.window.page.sheet, True, in_words())
    ),
}


def on_play(bench: Bench) -> None:
    bench.focus(bench.window.page.sheet.rows[1].play_part)


def on_split(bench: Bench) -> None:
    bench.select(Place(2, Kind.NOTE, 4))
    bench.focus(bench.window.page.draft_strip.split)


def asked(bench: Bench) -> tuple[bool, str]:
    return bench.window.bar.is_asking, shown(bench)


EVERYWHERE = {
    "Tab": (Effect(lambda bench: bench.at, "Cut after bar 2"),),
    "Shift+Tab": (Effect(lambda bench: bench.at, "Cut after bar 2", on_play),),
    **dict.fromkeys(
        ("Space", "Return"), (Effect(plays, Piece("part", 2), on_play), Effect(quarters, [8, 4, 8, 12], on_split))
    ),
    "Esc": (
        *tuple(Effect(shown, "SheetPage", pressed(key)) for key in ("F1", "F6", "Shift+F6", "Ctrl+N", "Ctrl+Shift+I")),
        Effect(asked, (False, "SheetPage"), given_all(typed("d"), pressed("Ctrl+Q"))),
    ),
}
EFFECTS: dict[str, dict[str, Effect | tuple[Effect, ...]]] = {
    "On the lesson sheet": {**SHEET, **NAMING},
    "While a chord is named": {**NAMED},
    "In a line of text": {**LINE},
    "On the arrows between rows": {**CUT},
    "On the keyboard": {**KEYBOARD},
    "On the keyboard's upper edge": {**EDGE},
    "While a pattern is drawn": {**PATTERN},
    "In Camera": {**CAMERA},
    "In the list of Songs": {**SONGS},
    "In the part in words": {**WORDS},
    "Everywhere": {**EVERYWHERE},
    "File": {**FILE},
    "Edit": {**EDIT},
    "Play": {**PLAY},
    "View": {**VIEW},
    "Help": {**HELP},
}

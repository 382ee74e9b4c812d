"""Every key that the page of keys names is pressed and seen to do something; and none that does is missing there."""

from __future__ import annotations

import importlib
import pkgutil
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QKeyCombination, Qt
from PySide6.QtGui import QAction, QContextMenuEvent, QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import QApplication, QLabel, QWidget

import app
from app.widgets.selection import Kind, Place
from app.window.header import Workspace
from app.window.shortcuts_page import ShortcutsPage
from tests.helpers.effects_of_keys import EFFECTS, Bench, Effect
from tests.helpers.open_window import OpenWindow


def page_of(opened: OpenWindow) -> ShortcutsPage:
    opened.window.show_shortcuts()
    page = opened.window._shortcuts
    assert page is not None
    opened.window.show_shortcuts()
    return page


def named_by(page: ShortcutsPage) -> dict[str, set[str]]:
    """The keys that the page names, by the table they stand in."""
    return {table.title: {key for line in table.lines for key in line.keys} for table in page.tables}


def press(bench: Bench, key: str) -> None:
    if key == "Menu":  # the desktop makes this of the key, which is why it cannot be pressed without one
        sheet = bench.window.page.sheet
        middle = sheet.rect().center()
        event = QContextMenuEvent(QContextMenuEvent.Reason.Keyboard, middle, sheet.mapToGlobal(middle))
        QApplication.sendEvent(bench.hands.at, event)
    else:
        bench.hands.press_written(key)


def failing(bench: Bench, key: str, effect: Effect) -> str:
    """What is wrong with a key's effect; empty where it is as it should be."""
    bench.begin_anew()
    effect.given(bench)
    before = effect.seen(bench)
    if before == effect.becomes:
        return f"{key}: it was {before} already"
    press(bench, key)
    after = effect.seen(bench)
    return "" if after == effect.becomes else f"{key}: {before} became {after}, not {effect.becomes}"


def test_each_key_on_the_page_is_pressed_below(opened: OpenWindow) -> None:
    assert {title: set(effects) for title, effects in EFFECTS.items()} == named_by(page_of(opened))


@pytest.mark.parametrize("place", EFFECTS)
def test_every_key_does_what_the_page_says(place: str, opened: OpenWindow, tmp_path: Path) -> None:
    bench = Bench(opened, tmp_path)
    wrong = [
        failing(bench, key, effect)
        for key, effects in EFFECTS[place].items()
        for effect in (effects if isinstance(effects, tuple) else (effects,))
    ]
    bench.begin_anew()
    assert not any(wrong), "\n".join(filter(None, wrong))


def test_the_page_shows_every_key_with_what_it_does(opened: OpenWindow) -> None:
    page = page_of(opened)
    said = {label.text() for label in page.findChildren(QLabel)}
    lines = [line for table in page.tables for line in table.lines]
    assert len(lines) > 80
    assert {line.text for line in lines} <= said
    assert {line.meaning for line in lines} <= said


def widgets_that_take_keys() -> set[type[QWidget]]:
    """Every kind of widget of the program that has a way of its own with keys."""
    for module in pkgutil.walk_packages(app.__path__, "app."):
        if module.name.split(".")[1] in ("widgets", "draft", "listen", "songs", "camera", "window"):
            importlib.import_module(module.name)
    found: set[type[QWidget]] = set()
    waiting: list[type[QWidget]] = [QWidget]
    while waiting:
        for kind in waiting.pop().__subclasses__():
            waiting.append(kind)
            if kind.__module__.startswith("app.") and "keyPressEvent" in vars(kind):
                found.add(kind)
    return found


TAKING: dict[str, tuple[str, ...]] = {
    "LessonSheet": ("On the lesson sheet",),
    "KeyboardView": ("On the keyboard",),
    "HeightGrip": ("On the keyboard's upper edge",),
    "CutHandle": ("On the arrows between rows",),
    "_Cell": ("While a pattern is drawn",),
    "SongList": ("In the list of Songs",),
    "ReadingList": ("In the part in words",),
    "LineField": ("In a line of text", "While a chord is named"),
    **dict.fromkeys(("Button", "RowButton", "PlaceLink"), ("Everywhere",)),
    **dict.fromkeys(("FormPage", "MessageBar", "SettingsPage", "ShortcutsPage", "TuneChooser"), ("Everywhere",)),
}
"""The tables of the page that name what a kind of widget does with keys."""
MODIFIERS = [
    plain | extra
    for plain in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.AltModifier)
    for extra in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier)
]
LAST_KEY_THAT_TYPES = 0xFF


def written(key: Qt.Key, modifiers: Qt.KeyboardModifier) -> str:
    combination = QKeyCombination(modifiers, key)
    return QKeySequence(combination).toString(QKeySequence.SequenceFormat.PortableText)


def taken_by(widget: QWidget, key: Qt.Key, modifiers: Qt.KeyboardModifier) -> bool:
    """Whether a widget does something with a key that no shortcut has caught."""
    types = key.value <= LAST_KEY_THAT_TYPES and modifiers in (
        Qt.KeyboardModifier.NoModifier,
        Qt.KeyboardModifier.ShiftModifier,
    )
    text = chr(key.value) if types else ""
    text = text if modifiers is Qt.KeyboardModifier.ShiftModifier else text.lower()
    event = QKeyEvent(QEvent.Type.KeyPress, key, modifiers, text)
    widget.keyPressEvent(event)
    return event.isAccepted()


def missing_of(taken: set[str], named: set[str]) -> list[str]:
    """Keys that are not named; Shift may be held without need, and Enter is on two places of a keyboard."""
    plain = {key: key.removeprefix("Shift+").replace("Enter", "Return") for key in taken}
    return sorted(key for key, without in plain.items() if key not in named and without not in named)


def test_every_kind_of_widget_that_takes_keys_has_its_table(opened: OpenWindow) -> None:
    titles = {table.title for table in page_of(opened).tables}
    assert {kind.__name__ for kind in widgets_that_take_keys()} == set(TAKING)
    assert {title for tables in TAKING.values() for title in tables} <= titles


def test_no_shortcut_is_missing_from_the_page(opened: OpenWindow) -> None:
    window = opened.window
    for moment in (window.show_settings, window.show_outputs, window.show_about, window.new_lesson):
        moment()
    for workspace in Workspace:
        window.show_workspace(workspace)
    opened.slow_work.close()
    named = set().union(*named_by(page_of(opened)).values())
    shortcuts = {
        key.toString(QKeySequence.SequenceFormat.PortableText)
        for action in window.findChildren(QAction)
        for key in action.shortcuts()
    }
    shortcuts |= {
        one.key().toString(QKeySequence.SequenceFormat.PortableText) for one in window.findChildren(QShortcut)
    }
    assert len(shortcuts) > 80
    assert shortcuts <= named


@pytest.mark.parametrize(
    ("place", "several"),
    [
        (Place(2), 0),
        (Place(2, Kind.NOTE, 2), 0),
        (Place(2, Kind.NOTE, 2), 2),
        (Place(2, Kind.CHORD, 0), 0),
    ],
    ids=["part", "note", "notes", "chord"],
)
def test_no_key_that_the_sheet_takes_is_missing_from_the_page(place: Place, several: int, opened: OpenWindow) -> None:
    tables = named_by(page_of(opened))
    named = tables["On the lesson sheet"] | tables["Edit"] | tables["Play"]
    bench = Bench(opened, Path())
    sheet = opened.window.page.sheet
    taken = set()

    def start() -> None:
        bench.begin_anew()
        bench.select(place)
        for _ in range(several):
            bench.hands.press_written("Shift+Right")

    start()
    for key in Qt.Key:
        for modifiers in MODIFIERS:
            if taken_by(sheet, key, modifiers):
                taken.add(written(key, modifiers))
                start()
    assert len(taken) > 5
    assert missing_of(taken, named) == []


def test_no_key_that_a_control_takes_is_missing_from_the_page(opened: OpenWindow) -> None:
    tables = named_by(page_of(opened))
    bench = Bench(opened, Path())
    bench.begin_anew()
    page = opened.window.page
    missing = {}
    for widget in (page.keyboard, page.band.grip, page.sheet.cuts[0]):
        (title,) = TAKING[type(widget).__name__]
        taken = {
            written(key, modifiers)
            for key in Qt.Key
            for modifiers in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier)
            if taken_by(widget, key, modifiers)
        }
        assert taken, title
        missing[title] = missing_of(taken, tables[title])
    assert missing == {title: [] for title in missing}


@pytest.mark.parametrize(
    ("width", "percent", "columns"), [(900, 100, 1), (1280, 100, 2), (1920, 100, 3), (1280, 200, 1)]
)
def test_the_page_has_as_many_columns_as_fit(width: int, percent: int, columns: int, opened: OpenWindow) -> None:
    opened.settings.change(text_scale=percent)
    opened.window.show_shortcuts()
    page = opened.window._shortcuts
    assert page is not None
    opened.window.resize(width, 720)
    for _ in range(5):
        QApplication.processEvents()
    lefts = [table.x() for table in page.shown]
    assert len(set(lefts)) == columns
    assert lefts == sorted(lefts), "read down one column, then the next"
    assert page.horizontalScrollBar().maximum() == 0

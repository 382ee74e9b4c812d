"""Every page in a language made of the collected texts, each between two signs: no word in sight stands outside."""

from __future__ import annotations

import re
from collections.abc import Iterator
from gettext import NullTranslations
from pathlib import Path

import pytest
from babel.messages.pofile import write_po
from PySide6.QtCore import QAbstractItemModel, QEvent, Qt
from PySide6.QtGui import QAccessible, QAction
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QGroupBox,
    QLabel,
    QLineEdit,
    QMainWindow,
    QPlainTextEdit,
    QSpinBox,
    QTableView,
    QTextEdit,
    QWidget,
)

from app.languages import find_catalogue
from app.window.spoken_texts import SpokenTexts
from tests.helpers.collected_texts import make_texts, marked_translation
from tests.helpers.marked_language import CLOSE, OPEN, speaking, unsaid
from tests.helpers.open_window import open_window
from tests.helpers.songs import night_ferry
from tests.journeys.pictures import PASSES
from tests.journeys.screens import MOMENTS

TAG = re.compile(r"<[^>]*>")
WORD = re.compile(r"[^\W\d_]{2,}")
DATA = (
    *("Night Ferry", "Close Together", "Heron at the Sluice", "The Lamplighter's Waltz", "verse", "vers…"),
    *("The Kestrel Above the Lock", "Lamplighter's Way Home", "Slow Water"),
    *("Stage piano", "Organ in the hall", "rocking", "Good evening.", "begins on", "phrase", "left hand"),
)
"""What the pages are filled with: titles, ports, a teacher's own words; kept as they are in every language."""
KEYS = re.compile(
    r"\b(?:Ctrl|Alt|Shift|Meta)\+\S+|"
    r"\b(?:Esc|Tab|Backtab|Del|Home|End|PgUp|PgDown|Up|Down|Left|Right|Space|Return|Enter|Backspace|Menu|Ins|Pause|F\d+|[A-Z])\b"
)
"""Keys, which Qt names in its own translations."""
FILE = re.compile(r"\S*/\S+")
CHORD = re.compile(r"\b[A-G][♭♯]?(m|maj7|m7|7|sus4|dim|add9)?\b")


@pytest.fixture(scope="module")
def marked_texts(tmp_path_factory: pytest.TempPathFactory) -> Iterator[NullTranslations]:
    """A translation that says every text it was given between the two signs, in a folder that all processes look in."""
    folder = tmp_path_factory.mktemp("languages")
    with (folder / "de.po").open("wb") as file:
        write_po(file, marked_translation())
    make_texts().make("de", folder / "de.po", folder)
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("PHRASEBENCH_LANGUAGE", "de")
        patched.setenv("PHRASEBENCH_LANGUAGES", str(folder))
        catalogue = find_catalogue(("de",), folder)
        assert catalogue is not None
        yield catalogue


def of_model(model: QAbstractItemModel, columns: int) -> Iterator[str]:
    for role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole):
        for column in range(columns):
            yield from (str(model.index(row, column).data(role) or "") for row in range(model.rowCount()))
            if columns > 1:
                yield str(model.headerData(column, Qt.Orientation.Horizontal, role) or "")


def of_widget(widget: QWidget) -> Iterator[str]:
    """The texts that a widget shows and says of itself, not those that somebody typed into it."""
    yield from (widget.toolTip(), widget.accessibleName(), widget.accessibleDescription(), widget.statusTip())
    if isinstance(widget, QLabel | QAbstractButton):
        yield widget.text()
    if isinstance(widget, QGroupBox):
        yield widget.title()
    if isinstance(widget, QLineEdit):
        yield widget.placeholderText()
    if isinstance(widget, QTextEdit | QPlainTextEdit):
        yield widget.placeholderText()
        if widget.isReadOnly():
            yield widget.toPlainText()
    if isinstance(widget, QSpinBox):
        yield from (widget.prefix(), widget.suffix(), widget.specialValueText())
    if isinstance(widget, QComboBox | QAbstractItemView):
        yield from of_model(widget.model(), widget.horizontalHeader().count() if isinstance(widget, QTableView) else 1)


def spoken_children(widget: QWidget) -> Iterator[str]:
    """What a screen reader is told of what is painted inside a widget."""
    interface = QAccessible.queryAccessibleInterface(widget)
    if interface is None:
        return
    for place in range(interface.childCount()):
        child = interface.child(place)
        if child is not None and child.object() is None:
            yield from (child.text(QAccessible.Text.Name), child.text(QAccessible.Text.Description))


def texts(window: QMainWindow) -> Iterator[str]:
    yield window.windowTitle()
    for widget in window.findChildren(QWidget):
        if widget.isVisible():
            yield from of_widget(widget)
            yield from spoken_children(widget)
    for action in window.findChildren(QAction):
        yield from (action.text(), action.toolTip(), action.statusTip())


def words_left(text: str) -> list[str]:
    """The words of a text that stand outside the signs and are no data."""
    plain = unsaid(TAG.sub(" ", text))
    for name in DATA:
        plain = plain.replace(name, " ")
    for pattern in (KEYS, FILE, CHORD):
        plain = pattern.sub(" ", plain)
    return WORD.findall(plain)


def words_unsaid(window: QMainWindow) -> set[str]:
    return {text for text in texts(window) if words_left(text)}


@pytest.mark.parametrize("name", sorted(MOMENTS))
def test_no_word_in_sight_is_unsaid(
    name: str, qapp: QApplication, tmp_path: Path, marked_texts: NullTranslations
) -> None:
    translator = SpokenTexts(marked_texts, qapp)
    with speaking(marked_texts):
        qapp.installTranslator(translator)
        try:
            with open_window(night_ferry(), tmp_path) as opened:
                MOMENTS[name](opened)
                for _ in range(PASSES):
                    QApplication.processEvents()
                found = words_unsaid(opened.window)
        finally:
            qapp.removeTranslator(translator)
    assert found == set()


@pytest.mark.usefixtures("qapp")
def test_what_is_looked_for_is_found() -> None:
    window = QMainWindow()
    label = QLabel("left unsaid", window)
    window.setWindowTitle(f"{OPEN}Lesson{CLOSE}")
    window.show()
    label.show()
    assert words_unsaid(window) == {"left unsaid"}
    window.close()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)

"""The page of keys: every command that has one, the keys of every place, and what the mouse does."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from itertools import combinations, pairwise
from typing import Final

from PySide6.QtCore import QCoreApplication, QEvent, Qt, QTimer
from PySide6.QtGui import QAccessible, QAction, QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from app.widgets.button import Button
from app.widgets.labels import label
from app.window.key_tables import KeyLine, KeyTable, key_tables, mouse_lines

Table = tuple[str, Sequence[tuple[str, str]]]
"""A title, and lines of keys with what they do."""

COLUMN_LETTERS: Final = 72
"""Average letters that a column of keys with their meanings is wide."""
MOST_COLUMNS: Final = 3
COLUMN_GAP: Final = 40
MARGIN: Final = 32
KEY_LETTERS: Final = 24
"""The same for the keys alone."""
NUMBER_WIDTH: Final = 24
KEYS_OF_FEW: Final = frozenset({"Undo", "Redo", "Cut", "Copy", "Paste", "New", "Open", "Save", "Close", "Find", "Help"})
"""Keys that only some keyboards have; they count, and need no line."""
TITLE_LINES: Final = 2
"""How many lines a table's title and the room before it take."""


def first_lesson() -> tuple[tuple[str, str], ...]:
    """A first lesson from beginning to end, in ten lines."""

    def translated(text: str) -> str:
        return QCoreApplication.translate("ShortcutsPage", text)

    steps = (
        translated("Open a song (File, Open: MusicXML, MIDI or ABC), or begin a new lesson and type its notes."),
        translated(
            "Look at the parts: each is a row, as long as a learner keeps in mind. Drag the arrows to move a cut."
        ),
        translated("Select a note and type its name; select a chord and press Enter to name it."),
        translated("Read the words at the right; type over them what you would say yourself."),
        translated("Look at the effort and at the things to look at; a click on a reason shows its bar."),
        translated("Say in Settings what the hands reach without strain; fingers and chords follow."),
        translated("Press Space to hear a part, Shift+Space to hear all parts up to it."),
        translated("In Listen choose what the left hand plays, the key, and how fast a part is taught."),
        translated("Before the camera the words turn with Space; each part is said, then played."),
        translated("Export the session plan (Ctrl+E) to have it on paper. Rest your hands; stop if anything hurts."),
    )
    return tuple((f"{number}.", step) for number, step in enumerate(steps, 1))


class ShortcutsPage(QScrollArea):
    """Keys in as many columns as there is room for."""

    spoken_role = QAccessible.Role.Document

    def __init__(
        self,
        commands: Sequence[tuple[str, Sequence[QAction]]],
        leave: Callable[[], object],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._leave = leave
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(self.tr("Keys and mouse"))
        self.tables = (*key_tables(), *(_table_of(title, actions) for title, actions in commands))
        """Every key that the page names."""
        self._in_use = (0, 0)
        self._again = QTimer(self)
        self._again.setSingleShot(True)
        self._again.setInterval(0)
        self._again.timeout.connect(self._share_out)
        self._share_out()

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Take as many columns as there is room for now."""
        super().resizeEvent(event)
        self._again.start()

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """Look at the width again when the text has another size."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.FontChange:
            self._again.start()

    def _share_out(self) -> None:
        """Lay the page out anew where another number of columns fits, or letters are as wide as they were not."""
        letter = self.fontMetrics().averageCharWidth()
        wide, room = COLUMN_LETTERS * letter, self.viewport().width() - 2 * MARGIN
        count = min(max(1, (room + COLUMN_GAP) // (wide + COLUMN_GAP)), MOST_COLUMNS)
        if (count, letter) != self._in_use:
            on_button = self._in_use != (0, 0) and self.back.hasFocus()
            self._in_use = (count, letter)
            self.setWidget(self._content(count, letter))
            if on_button:
                self.back.setFocus(Qt.FocusReason.OtherFocusReason)

    def _content(self, count: int, letter: int) -> QWidget:
        content = QWidget()
        self.back = Button(self.tr("Back to work"), content, does=self._leave)
        head = QHBoxLayout()
        head.addWidget(label(self.tr("Keys and mouse"), content, size="title", bold=True))
        head.addStretch()
        head.addWidget(self.back)
        lines: list[Table] = [
            (table.title, [(line.text, line.meaning) for line in table.lines]) for table in self.tables
        ]
        lines.append((self.tr("With the mouse"), mouse_lines()))
        ends = _ends_of_columns([TITLE_LINES + len(table) for _, table in lines], count)
        columns = QHBoxLayout()
        columns.setSpacing(COLUMN_GAP)
        self.shown = []
        """The tables as they stand on the page, in the order in which they are read."""
        for start, end in pairwise((0, *ends)):
            column = QVBoxLayout()
            column.setSpacing(20)
            for title, table in lines[start:end]:
                self.shown.append(_table(title, table, content, KEY_LETTERS * letter))
                column.addWidget(self.shown[-1])
            column.addStretch()
            columns.addLayout(column, 1)
        layout = QVBoxLayout(content)
        layout.setContentsMargins(MARGIN, 20, MARGIN, 24)
        layout.setSpacing(20)
        layout.addLayout(head)
        layout.addWidget(_table(self.tr("A first lesson"), first_lesson(), content, NUMBER_WIDTH))
        layout.addLayout(columns)
        return content

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Escape leaves the page."""
        if event.key() == Qt.Key.Key_Escape:
            self._leave()
            return
        super().keyPressEvent(event)


def _table_of(title: str, actions: Sequence[QAction]) -> KeyTable:
    """The commands of a menu, each with all of its keys."""
    portable, native = QKeySequence.SequenceFormat.PortableText, QKeySequence.SequenceFormat.NativeText
    return KeyTable(
        title,
        tuple(
            KeyLine(
                tuple(key.toString(portable) for key in action.shortcuts()),
                action.text().replace("&", "").rstrip("…"),
                ", ".join(key.toString(native) for key in action.shortcuts() if _is_on_every_keyboard(key)),
            )
            for action in actions
        ),
    )


def _is_on_every_keyboard(keys: QKeySequence) -> bool:
    """Whether keys are not those of a few keyboards only: F13 and above, or keys for undo and the like."""
    last = keys.toString(QKeySequence.SequenceFormat.PortableText).rpartition("+")[2]
    return last not in KEYS_OF_FEW and not re.fullmatch(r"F(1[3-9]|[23]\d)", last)


def _ends_of_columns(heights: Sequence[int], count: int) -> tuple[int, ...]:
    """Where each of some columns ends, with what is in them in its order and the highest as low as can be."""

    def highest(ends: tuple[int, ...]) -> int:
        return max(sum(heights[start:end]) for start, end in pairwise((0, *ends)))

    cuts = combinations(range(1, len(heights)), count - 1)
    return min(((*some, len(heights)) for some in cuts), key=highest)


def _table(title: str, lines: Sequence[tuple[str, str]], parent: QWidget, key_width: int) -> QWidget:
    table = QWidget(parent)
    grid = QGridLayout(table)
    grid.setContentsMargins(0, 0, 0, 0)
    grid.setHorizontalSpacing(16)
    grid.setVerticalSpacing(4)
    grid.setColumnStretch(1, 1)
    grid.addWidget(label(title, table, look="heading"), 0, 0, 1, 2)
    for row, (keys, meaning) in enumerate(lines, 1):
        key = label(keys, table, bold=True)
        key.setMinimumWidth(key_width)
        key.setWordWrap(True)
        text = label(meaning, table)
        text.setWordWrap(True)
        text.setAlignment(Qt.AlignmentFlag.AlignTop)
        grid.addWidget(key, row, 0, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(text, row, 1)
    return table

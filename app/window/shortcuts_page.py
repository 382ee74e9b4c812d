"""The page of keys: every command that has one, and what the mouse does; made from the menus, so always right."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QAccessible, QAction, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from app.widgets.button import Button
from app.widgets.labels import label

COLUMNS = 2
KEY_WIDTH = 150
NUMBER_WIDTH = 24


def sheet_keys() -> tuple[tuple[str, str], ...]:
    """What the keys and the mouse do on the lesson sheet that no menu says."""

    def translated(text: str) -> str:
        return QCoreApplication.translate("ShortcutsPage", text)

    return (
        (translated("Left, Right"), translated("Note before, note after")),
        (translated("Up, Down"), translated("From notes to chords, from part to part")),
        (translated("Shift with Left, Right, Home, End"), translated("Select more notes, or fewer")),
        (translated("A … G, then # or b"), translated("Name the selected note (Shift+B is always the note B)")),
        (translated("Backspace"), translated("Take the last typed letter back; else remove")),
        (translated("Esc"), translated("Give the note its name back; let go of what is dragged")),
        (translated("Drag a note"), translated("Move it, in the key; with Ctrl by semitones")),
        (translated("Shift and a click"), translated("Select every note up to there")),
        (translated("Drag on an empty place"), translated("Select the notes in the rectangle")),
        (translated("Drag a line's end"), translated("Make the note longer or shorter")),
        (translated("Drag a chord"), translated("Let it begin earlier or later")),
        (translated("Drag a pin"), translated("Let the chord land with another note, or on another beat")),
        (translated("Drag the arrows between rows"), translated("Move the cut; the effort on both sides shows")),
        (translated("Drag the keyboard's upper edge"), translated("Make it taller or lower; a double-click as usual")),
        (translated("Rest the pointer on a thing"), translated("Read what it is and why")),
        (translated("Double-click an empty place"), translated("New note or chord")),
        (translated("Double-click a chord"), translated("Name it; Tab completes what is typed")),
    )


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
    """Keys in two columns."""

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
        content = QWidget()
        self.back = Button(self.tr("Back to work"), content, does=leave)
        head = QHBoxLayout()
        head.addWidget(label(self.tr("Keys and mouse"), content, size="title", bold=True))
        head.addStretch()
        head.addWidget(self.back)
        columns = QHBoxLayout()
        columns.setSpacing(40)
        sheet = _table(self.tr("On the lesson sheet"), sheet_keys(), content)
        tables = [_table(title, _lines(actions), content) for title, actions in commands]
        left, right = QVBoxLayout(), QVBoxLayout()
        steps = _table(self.tr("A first lesson"), first_lesson(), content, narrow=True)
        left.addWidget(sheet)
        for place, table in enumerate(tables):
            (right if place in (1, 3) else left).addWidget(table)
        for column in (left, right):
            column.setSpacing(20)
            column.addStretch()
            columns.addLayout(column, 1)
        layout = QVBoxLayout(content)
        layout.setContentsMargins(32, 20, 32, 24)
        layout.setSpacing(20)
        layout.addLayout(head)
        layout.addWidget(steps)
        layout.addLayout(columns)
        self.setWidget(content)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Escape leaves the page."""
        if event.key() == Qt.Key.Key_Escape:
            self._leave()
            return
        super().keyPressEvent(event)


def _lines(actions: Sequence[QAction]) -> list[tuple[str, str]]:
    native = QKeySequence.SequenceFormat.NativeText
    return [(action.shortcut().toString(native), action.text().replace("&", "").rstrip("…")) for action in actions]


def _table(title: str, lines: Sequence[tuple[str, str]], parent: QWidget, *, narrow: bool = False) -> QWidget:
    table = QWidget(parent)
    grid = QGridLayout(table)
    grid.setContentsMargins(0, 0, 0, 0)
    grid.setHorizontalSpacing(16)
    grid.setVerticalSpacing(4)
    grid.setColumnStretch(1, 1)
    grid.addWidget(label(title, table, look="heading"), 0, 0, 1, COLUMNS)
    for row, (keys, meaning) in enumerate(lines, 1):
        key = label(keys, table, bold=True)
        key.setMinimumWidth(NUMBER_WIDTH if narrow else KEY_WIDTH)
        key.setWordWrap(True)
        text = label(meaning, table)
        text.setWordWrap(True)
        grid.addWidget(key, row, 0, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(text, row, 1)
    return table

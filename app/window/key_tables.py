"""Every key that means something and that no menu shows, by the place where it counts; and what the mouse does.

The menus know their own keys. A place that takes a key of its own is named here, or its test fails.
"""

from __future__ import annotations

from typing import Final

from msgspec import Struct
from PySide6.QtCore import QCoreApplication
from PySide6.QtGui import QKeySequence

NAMES: Final = tuple("ABCDEFG")
LETTERS: Final = tuple("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
DIGITS: Final = tuple("0123456789")


class KeyLine(Struct, frozen=True):
    """Keys that do one thing.

    Attributes:
        keys: as Qt writes them on every system, such as ``Shift+Left``.
        meaning: what they do.
        shown: how they are written where a list of them all would be too long.
    """

    keys: tuple[str, ...]
    meaning: str
    shown: str = ""

    @property
    def text(self) -> str:
        """The keys as they are called on this system."""
        native = QKeySequence.SequenceFormat.NativeText
        return self.shown or ", ".join(QKeySequence(key).toString(native) for key in self.keys)


class KeyTable(Struct, frozen=True):
    """The keys of one place, under its title."""

    title: str
    lines: tuple[KeyLine, ...]


def key_tables() -> tuple[KeyTable, ...]:
    """The keys of every place that has some of its own; the lesson sheet's first."""

    def translated(text: str) -> str:
        return QCoreApplication.translate("KeyTables", text)

    return (
        KeyTable(
            translated("On the lesson sheet"),
            (
                KeyLine(("Left", "Right"), translated("Note or chord before, and behind")),
                KeyLine(("Up", "Down"), translated("From notes to chords, from part to part")),
                KeyLine(("Home",), translated("First note of the part")),
                KeyLine(("PgUp", "PgDown"), translated("Part before, part behind")),
                KeyLine(("Shift+Left", "Shift+Right"), translated("Select a note more, or fewer")),
                KeyLine(("Shift+Home", "Shift+End"), translated("Select up to the part's first or last note")),
                KeyLine(NAMES, translated("Name the selected note"), translated("A … G")),
                KeyLine(("#", "B"), translated("Behind a name: sharp, flat")),
                KeyLine(("Shift+B",), translated("Always the note B")),
                KeyLine((*NAMES, "H"), translated("Begin to name the selected chord"), translated("A … H")),
                KeyLine(("Menu",), translated("The menu of what is selected")),
                KeyLine(("Backspace",), translated("Take the last typed letter back; else remove")),
                KeyLine(("Esc",), translated("Give the note its name back; let go of what is dragged or selected")),
            ),
        ),
        KeyTable(
            translated("While a chord is named"),
            (
                KeyLine(("Up", "Down"), translated("Choose among the suggestions")),
                KeyLine(("Tab",), translated("Complete what is typed")),
                KeyLine(("Return",), translated("Take the name")),
                KeyLine(("Esc",), translated("Leave the chord as it was")),
            ),
        ),
        KeyTable(
            translated("In a line of text"),
            (
                KeyLine(("Return",), translated("Take what is typed")),
                KeyLine(("Esc",), translated("Let it be as it was")),
            ),
        ),
        KeyTable(
            translated("On the arrows between rows"),
            (
                KeyLine(("Left", "Right"), translated("Move the cut by a beat")),
                KeyLine(("Shift+Left", "Shift+Right"), translated("Move the cut by a bar")),
            ),
        ),
        KeyTable(
            translated("On the keyboard"),
            (
                KeyLine(("Left", "Right"), translated("Key before, key behind")),
                KeyLine(("Return",), translated("Sound the key")),
            ),
        ),
        KeyTable(
            translated("On the keyboard's upper edge"),
            (
                KeyLine(("Up", "Down"), translated("Make it taller, or lower")),
                KeyLine(("Home",), translated("As tall as usual")),
            ),
        ),
        KeyTable(
            translated("While a pattern is drawn"),
            (KeyLine(("Left", "Right", "Up", "Down"), translated("Go from cell to cell")),),
        ),
        KeyTable(
            translated("In Camera"),
            (
                KeyLine(("Space", "Right", "PgDown"), translated("What is said next")),
                KeyLine(("Backspace", "Left", "PgUp"), translated("What was said before")),
            ),
        ),
        KeyTable(
            translated("In the list of Songs"),
            (
                KeyLine(("Return",), translated("Open the song")),
                KeyLine(
                    LETTERS + DIGITS,
                    translated("Begin to type what is looked for; Esc forgets it"),
                    translated("A letter or digit"),
                ),
                KeyLine(("Shift+Up", "Shift+Down"), translated("Select several, to write their plans")),
            ),
        ),
        KeyTable(
            translated("In the part in words"),
            (
                KeyLine(("Up", "Down"), translated("Line before, line behind")),
                KeyLine(("Left", "Right"), translated("Part before, part behind")),
                KeyLine(("Return", "Esc"), translated("Go to the sheet")),
            ),
        ),
        KeyTable(
            translated("Everywhere"),
            (
                KeyLine(("Tab", "Shift+Tab"), translated("Go on to the next control, or back")),
                KeyLine(("Space", "Return"), translated("Press the button that has the frame")),
                KeyLine(("Esc",), translated("Back to work from a page; change nothing where something is asked")),
            ),
        ),
    )


def mouse_lines() -> tuple[tuple[str, str], ...]:
    """What is done with the mouse, and what it does."""

    def translated(text: str) -> str:
        return QCoreApplication.translate("KeyTables", text)

    return (
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
        (translated("Double-click a chord"), translated("Name it")),
    )

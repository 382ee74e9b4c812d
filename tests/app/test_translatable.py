"""Every text of the window is ready to be translated: it passes through Qt's translation, not straight to a widget."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

APP = Path(__file__).resolve().parents[2] / "app"
ROOMS = ("window", "widgets", "draft", "listen", "camera", "songs", "document", "settings")
"""Where the window's texts are said; what other processes say is looked for in `tests.app.test_texts_said`."""

TAKING_TEXT = frozenset(
    {
        *("setText", "setToolTip", "setStatusTip", "setWhatsThis", "setWindowTitle", "setTitle", "setPlaceholderText"),
        *("setAccessibleName", "setAccessibleDescription", "setSuffix", "setPrefix", "setFormat", "setLabelText"),
        *("addItem", "addAction", "addMenu", "addTab", "addRow", "insertRow", "showMessage"),
        *("label", "Button", "QLabel", "QPushButton", "QCheckBox", "QRadioButton", "QGroupBox", "QAction"),
        *("QDockWidget", "QFileDialog", "Answer", "say", "hint", "ask", "work", "emit", "whole_number_field"),
        *("decimal_field", "_action", "_choice", "_heading", "show_text"),
    }
)
"""Calls whose texts are read by somebody."""

NOT_READ = frozenset({"look", "size", "name_of", "format"})
"""Arguments by name that are for the program."""


def name_of(call: ast.Call) -> str:
    return call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")


def is_said_by_core(call: ast.Call) -> bool:
    """Whether a text is said by `core.song.wording.say`, not shown by a widget's method of that name."""
    return isinstance(call.func, ast.Name) and call.func.id == "say"


def letters_in(node: ast.expr) -> str:
    """The literal text of an argument where it has words in it; else nothing."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        text = node.value
    elif isinstance(node, ast.JoinedStr):
        text = "".join(str(part.value) for part in node.values if isinstance(part, ast.Constant))
    elif isinstance(node, ast.BinOp):
        return letters_in(node.left) or letters_in(node.right)
    elif isinstance(node, ast.IfExp):
        return letters_in(node.body) or letters_in(node.orelse)
    else:
        return ""
    return text if sum(letter.isalpha() for letter in text) > 1 else ""


def untranslated(source: str) -> Iterator[tuple[int, str]]:
    """Line and text of every text that goes to a reader untranslated."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and name_of(node) in TAKING_TEXT and not is_said_by_core(node):
            arguments = [*node.args[:1], *(word.value for word in node.keywords if word.arg not in NOT_READ)]
            if name_of(node) == "insertRow":
                arguments = node.args[1:]
            yield from ((node.lineno, text) for argument in arguments if (text := letters_in(argument)))


def files() -> list[Path]:
    return sorted(path for room in ROOMS for path in (APP / room).rglob("*.py"))


@pytest.mark.parametrize("path", files(), ids=lambda path: str(path.relative_to(APP)))
def test_no_text_goes_to_a_reader_untranslated(path: Path) -> None:
    assert list(untranslated(path.read_text(encoding="utf-8"))) == []


def test_what_is_looked_for_is_found() -> None:
    source = 'button.setText("Play")\nbar.say(f"{name} is lost")\nlabel("Songs" if one else self.tr("Song"))'
    assert [text for _, text in untranslated(source)] == ["Play", " is lost", "Songs"]
    assert list(untranslated('button.setText(self.tr("Play"))\nlabel("", look="quiet")\nx.setText("%")')) == []


def is_whole(node: ast.expr) -> bool:
    """Whether a text is written out, or either of two is."""
    if isinstance(node, ast.IfExp):
        return is_whole(node.body) and is_whole(node.orelse)
    return isinstance(node, ast.Constant)


def test_whatever_is_translated_is_a_whole_text() -> None:
    """A text glued together before it is translated is found in no dictionary."""
    for path in files():
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            moves = isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr != "tr"
            if isinstance(node, ast.Call) and not moves and name_of(node) in ("tr", "translated", "_translated"):
                assert is_whole(node.args[0]), f"{path.relative_to(APP)}:{node.lineno}"

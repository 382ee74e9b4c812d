"""What the program says outside its window can be said in another language: commands, engine, helper, settings."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from app.commands.application import HELP
from tests.core.song.test_wording import SAYING, texts_unsaid

APP = Path(__file__).resolve().parents[2] / "app"
ROOMS = ("commands", "engine", "background", "document", "settings")
SINGLE_FILES = ("main.py", "resources.py", "typesetting.py", "songs/song_entry.py", "songs/known_lessons.py")
BY_QT = frozenset({"tr", "translate"})
"""Calls that put a text into the window's language."""

FOR_PROGRAMS = frozenset(
    {
        ("commands/application.py", HELP),
        ("commands/application.py", "{} open FILE"),
        ("commands/application.py", "inspect night_ferry.lesson"),
        ("commands/chosen_outputs.py", "Stage piano; right 2/20; left 3; latency 40"),
        ("commands/unforeseen.py", "Phrasebench {}, Python {} on {}\n{}\n\n"),
        ("engine/card_keeper.py", "closing sound card"),
        ("engine/client.py", "engine reports"),
        ("engine/key_maker.py", "piano keys"),
        ("engine/pygame_ports.py", "midi input"),
    }
)
"""Names of threads, a report for whoever mends the program, what is typed; and the text of ``--help``."""


def files() -> list[Path]:
    return sorted(
        [*(path for room in ROOMS for path in (APP / room).rglob("*.py")), *(APP / name for name in SINGLE_FILES)]
    )


def helps(source: str) -> set[str]:
    """The texts of options, which the library that reads command lines sets among English of its own."""
    words = (word for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Call) for word in node.keywords)
    return {
        word.value.value
        for word in words
        if word.arg == "help" and isinstance(word.value, ast.Constant) and isinstance(word.value.value, str)
    }


@pytest.mark.parametrize("path", files(), ids=lambda path: str(path.relative_to(APP)))
def test_no_text_goes_to_a_reader_unsaid(path: Path) -> None:
    name, source = path.relative_to(APP).as_posix(), path.read_text(encoding="utf-8")
    of_options = helps(source)
    assert [
        (line, text)
        for line, text in texts_unsaid(source, SAYING | BY_QT)
        if (name, text) not in FOR_PROGRAMS and text not in of_options
    ] == []


def test_what_is_said_is_a_literal_or_marked() -> None:
    """A text glued together before it is said is found in no catalogue."""
    for path in files():
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") in SAYING:
                assert not isinstance(node.args[0], ast.JoinedStr | ast.BinOp), f"{path.relative_to(APP)}:{node.lineno}"

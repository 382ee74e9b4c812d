"""Texts are said in the language that was chosen, and no text of core goes to a reader unsaid."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from core.song.wording import say, say_counted, say_in, speak, to_say
from tests.helpers.marked_language import marked_language, unsaid

CORE = Path(__file__).resolve().parents[3] / "core"
SAYING = frozenset({"say", "say_in", "say_counted", "to_say", "to_say_in"})
PROGRAMMERS_ERRORS = frozenset(
    {"ValueError", "TypeError", "KeyError", "RuntimeError", "NotImplementedError", "AssertionError"}
)
"""What only a programmer ever reads."""

WORDS = re.compile(r"[A-Za-z’]{2,}[,;:.]? [A-Za-z‘“{]|[A-Za-z{] [A-Za-z’]{2,}")
"""Two words with a space between them: a text, not a name."""

NOT_READ: dict[str, str] = {
    "drawing/svg.py": "markup",
    "handover/assets.py": "names of fonts",
    "handover/plan_html.py": "markup; what is said in it is looked for in tests/core/handover/test_plan_said.py",
    "handover/plan_pdf.py": "markup; what is said in it is looked for in tests/core/handover/test_plan_said.py",
    "teaching/hand_trees_first.py": "tables of figures",
    "teaching/hand_trees_second.py": "tables of figures",
    "teaching/boundary_trees_first.py": "tables of figures",
    "teaching/boundary_trees_second.py": "tables of figures",
    "teaching/boundary_features.py": "names of features",
    "teaching/hand_features.py": "names of features",
    "session/script_patterns.py": "patterns that English words are read by",
    "session/script_reading.py": "patterns that English words are read by",
}
"""Files whose texts with spaces in them are for programs, and what they are."""

FOR_PROGRAMS = frozenset(
    {
        ("formats/abc_preparing.py", "dal segno"),
        ("formats/abc_preparing.py", "no chord"),
        ("formats/abc_preparing.py", "to coda"),
        ("formats/abc_reader.py", "to coda"),
        ("formats/lesson_reading.py", "phrasebench lesson"),
        ("formats/midi_conventions.py", "Left hand"),
        ("formats/midi_conventions.py", "Right hand"),
        ("formats/midi_writer.py", "chord {}"),
        ("formats/midi_writer.py", "key {}"),
        ("formats/midi_writer.py", "pick-up {}"),
        ("formats/midi_writer.py", "playing order "),
        ("formats/musicxml_facts.py", "phrasebench playing order"),
        ("formats/musicxml_writer.py", "D.C. al Fine"),
        ("song/phrase.py", "start note"),
        ("song/phrase.py", "first chord"),
        ("teaching/care.py", "wide stretches"),
        ("teaching/care.py", "fast repeats"),
        ("teaching/resemblance.py", "same but for {} {}"),
        ("teaching/resemblance.py", "same chords"),
        ("teaching/resemblance.py", "same notes"),
        ("teaching/resemblance.py", "same notes, held differently"),
        ("teaching/resemblance.py", "same rhythm"),
        ("teaching/resemblance.py", "same rhythm and shape"),
        ("teaching/resemblance.py", "same with a pick-up"),
        ("teaching/resemblance.py", "same without its pick-up"),
        ("theory/spelling.py", "coming from"),
        ("theory/spelling.py", "going to"),
    }
)
"""Single texts with spaces in them that are names in files and fields, never shown."""


class TurnedAround:
    """A language that puts places in another order."""

    def gettext(self, message: str, /) -> str:
        return {"{a} before {b}": "{b} nach {a}", "{a} alone": "{c} allein"}.get(message, message)

    def pgettext(self, context: str, message: str, /) -> str:
        return {("interval", "second"): "Sekunde"}.get((context, message), message)

    def ngettext(self, _one: str, _many: str, n: int, /) -> str:
        return "{count} Takt" if n == 1 else "{count} Takte"


def test_english_needs_no_catalogue() -> None:
    assert say("Part {number} of {count}", number=2, count=3) == "Part 2 of 3"
    assert say("50 {%}") == "50 {%}"
    assert [say_counted("{count} bar", "{count} bars", count) for count in (0, 1, 2)] == ["0 bars", "1 bar", "2 bars"]
    assert say_in("interval", "second") == "second"
    assert to_say("broken chords") == "broken chords"


def test_a_language_may_put_the_places_in_another_order() -> None:
    speak(TurnedAround())
    try:
        assert say("{a} before {b}", a="E", b="G") == "G nach E"
        assert say_in("interval", "second") == "Sekunde"
        assert [say_counted("{count} bar", "{count} bars", count) for count in (1, 2)] == ["1 Takt", "2 Takte"]
    finally:
        speak(None)


def test_a_translation_that_names_a_place_that_there_is_not_is_left_for_the_english_text() -> None:
    speak(TurnedAround())
    try:
        assert say("{a} alone", a="E") == "E alone"
    finally:
        speak(None)


def test_what_was_never_said_is_seen() -> None:
    with marked_language():
        assert unsaid(say("Part {number}, {name}", number=1, name=say("twice"))) == ""
        assert unsaid(f"{say('once')} more") == "more"


def test_a_language_ends_with_its_test() -> None:
    with marked_language():
        pass
    assert say("Part") == "Part"


def texts_unsaid(source: str, saying: frozenset[str] = SAYING) -> Iterator[tuple[int, str]]:
    """Line and text of every text with words in it that is given to none of the calls `saying` and is no docstring."""
    tree = ast.parse(source)
    skipped: set[ast.AST] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            skipped.add(node.value)
        if isinstance(node, ast.Call):
            called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            if called in saying or called in PROGRAMMERS_ERRORS:
                given = [
                    argument
                    for argument in node.args
                    if isinstance(argument, ast.Constant) or called in PROGRAMMERS_ERRORS
                ]
                skipped.update(inner for argument in given for inner in ast.walk(argument))
    inside = {part for node in ast.walk(tree) if isinstance(node, ast.JoinedStr) for part in node.values}
    for node in ast.walk(tree):
        if node in skipped or node in inside:
            continue
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            text = node.value
        elif isinstance(node, ast.JoinedStr):
            text = "".join(str(part.value) if isinstance(part, ast.Constant) else "{}" for part in node.values)
        else:
            continue
        if WORDS.search(text):
            yield node.lineno, text


def files() -> list[Path]:
    return sorted(path for path in CORE.rglob("*.py") if path.relative_to(CORE).as_posix() not in NOT_READ)


@pytest.mark.parametrize("path", files(), ids=lambda path: str(path.relative_to(CORE)))
def test_no_text_of_core_goes_to_a_reader_unsaid(path: Path) -> None:
    name = path.relative_to(CORE).as_posix()
    found = texts_unsaid(path.read_text(encoding="utf-8"))
    assert [(line, text) for line, text in found if (name, text) not in FOR_PROGRAMS] == []


def test_what_is_looked_for_is_found() -> None:
    source = 'a = f"{who} plays black keys"\nb = say("two words {x}", x="a leap up")\nc = "left_hand"'
    assert [text for _, text in texts_unsaid(source)] == ["{} plays black keys", "a leap up"]


def test_what_is_said_is_a_literal_or_marked() -> None:
    """A text glued together before it is said is found in no catalogue."""
    for path in files():
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") in SAYING:
                assert not isinstance(node.args[0], ast.JoinedStr | ast.BinOp), (
                    f"{path.relative_to(CORE)}:{node.lineno}"
                )

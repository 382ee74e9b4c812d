"""Collects every text that people read, and makes the catalogues of translations that the program speaks by.

Run by hand, with the environment's Python:

    .venv/bin/python .ci/make_texts.py texts.pot              the template with every text, for a translator's tool
    .venv/bin/python .ci/make_texts.py --catalogue de de.po   a translation put where the program finds it
    … --catalogue de de.po --folder DIR                       the same elsewhere, to be tried with PHRASEBENCH_LANGUAGES

A template is the start of a translation; ``msgmerge`` or any editor of gettext files brings an older translation up to
date with it. A translation is refused whose places (``{bar}``, ``%1``) are not those of the text.
"""

from __future__ import annotations

import argparse
import ast
import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from babel.messages.catalog import Catalog, Message
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

ROOT = Path(__file__).resolve().parents[1]
DOMAIN = "phrasebench"
ROOMS = ("app", "core")
COMMENT = "Translators:"
"""What a comment for whoever translates begins with."""

PLACES = re.compile(r"\{\w+\}|%\d|%n")


@dataclass(frozen=True)
class Text:
    """A text that is said: its one or two forms, what it means where it has several meanings, and where it stands."""

    forms: tuple[str, ...]
    line: int
    context: str | None = None


def texts_in(tree: ast.AST, inside: str = "") -> Iterator[Text]:
    """Every text that a source says, those inside other texts too.

    Args:
        tree: what is looked through.
        inside: the class that it stands in. A single word that the window says is given it as its context, as Qt does.
    """
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.Call):
            yield from _said_by(node, inside)
        yield from texts_in(node, node.name if isinstance(node, ast.ClassDef) else inside)


def _said_by(call: ast.Call, inside: str) -> Iterator[Text]:
    name = call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")
    match name, [_literals(one) for one in call.args[:2]]:
        case (("say" | "to_say" | "translated" | "_translated"), [texts, *_]):
            yield from (Text((text,), call.lineno) for text in texts)
        case "tr", [texts, *_]:
            yield from (Text((text,), call.lineno, _context(text, inside)) for text in texts)
        case "translate", [contexts, texts]:
            context = contexts[0] if contexts else ""
            yield from (Text((text,), call.lineno, _context(text, context)) for text in texts)
        case (("say_in" | "to_say_in"), [[context], texts]):
            yield from (Text((text,), call.lineno, context) for text in texts)
        case "say_counted", [[one], [many]]:
            yield Text((one, many), call.lineno)


def _literals(node: ast.expr) -> list[str]:
    """The texts that an argument may be: one, or either of two that are chosen between."""
    if isinstance(node, ast.IfExp):
        return _literals(node.body) + _literals(node.orelse)
    return [node.value] if isinstance(node, ast.Constant) and isinstance(node.value, str) else []


def _context(text: str, place: str) -> str | None:
    return place if place and " " not in text.strip() else None


def _comments(source: str) -> dict[int, str]:
    """The comments for translators, by the line below them."""
    found: dict[int, str] = {}
    said: list[str] = []
    for number, line in enumerate(source.splitlines(), 1):
        words = line.strip().removeprefix("#").strip()
        if line.strip().startswith("#") and (said or words.startswith(COMMENT)):
            said.append(words)
        elif said:
            found[number] = " ".join(said)
            said = []
    return found


def every_text() -> Catalog:
    """All texts of the program, each with the files and lines it is said at."""
    catalogue = Catalog(
        project="Phrasebench",
        version="",
        charset="utf-8",
        copyright_holder="the translators",
        header_comment="# The texts of Phrasebench, to be translated.\n#",
        msgid_bugs_address="",
    )
    for path in sorted(path for room in ROOMS for path in (ROOT / room).rglob("*.py")):
        source = path.read_text(encoding="utf-8")
        comments, place = _comments(source), path.relative_to(ROOT).as_posix()
        for text in texts_in(ast.parse(source)):
            catalogue.add(
                text.forms if len(text.forms) > 1 else text.forms[0],
                locations=[(place, text.line)],
                auto_comments=[comments[text.line]] if text.line in comments else [],
                context=text.context,
            )
    for message in catalogue:  # places are written as in no other library's texts, so that none looks over them
        message.flags.discard("python-format")
        message.flags.discard("python-brace-format")
    return catalogue


def _forms(text: object) -> tuple[str, ...]:
    return tuple(map(str, text)) if isinstance(text, tuple | list) else (str(text),)


def wrong_places(message: Message) -> str:
    """What is wrong with the places of a translation in one sentence; empty where nothing is, or nothing is said."""
    allowed = {place for form in _forms(message.id) for place in PLACES.findall(form)}
    for form in _forms(message.string):
        if form and (strange := set(PLACES.findall(form)) - allowed):
            names = ", ".join(sorted(strange))
            return f"“{_forms(message.id)[0]}” has no place {names}; write {', '.join(sorted(allowed)) or 'none'}."
    return ""


def faults(catalogue: Catalog) -> Iterator[str]:
    """A sentence for each translation that cannot be filled."""
    return filter(None, (wrong_places(message) for message in catalogue if message.id))


def make(language: str, source: Path, home: Path) -> Path:
    """Puts a translation where the program finds it.

    Args:
        language: ``de``, or ``de_AT`` for one region.
        source: the translation, a ``.po`` file.
        home: the folder of all languages.

    Returns:
        The file that was written.

    Raises:
        ValueError: a translation whose places are not those of its text; one sentence each.
    """
    with source.open("rb") as file:
        catalogue = read_po(file, locale=language)
    if wrong := list(faults(catalogue)):
        raise ValueError("\n".join(wrong))
    target = home / language / "LC_MESSAGES" / f"{DOMAIN}.mo"
    target.parent.mkdir(parents=True, exist_ok=True)
    with target.open("wb") as file:
        write_mo(file, catalogue)
    return target


def main() -> int:
    """Does what the command line says; returns the exit status."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("file", type=Path, help="the template to write, or the translation to read")
    parser.add_argument("--catalogue", metavar="LANGUAGE", help="make the catalogue of this language")
    home = ROOT / "assets" / "languages"
    parser.add_argument("--folder", type=Path, default=home, help="where catalogues are put")
    chosen = parser.parse_args()
    if chosen.catalogue is None:
        catalogue = every_text()
        with chosen.file.open("wb") as file:
            write_po(file, catalogue, width=100)
        sys.stdout.write(f"{chosen.file}: {len(catalogue)} texts\n")
        return 0
    try:
        sys.stdout.write(f"{make(chosen.catalogue, chosen.file, chosen.folder)}\n")
    except (OSError, ValueError) as error:
        sys.stderr.write(f"{error}\n")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())

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
import re
import sys
from collections.abc import Iterator
from pathlib import Path

from babel.messages.catalog import Catalog, Message
from babel.messages.extract import extract_from_dir
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

ROOT = Path(__file__).resolve().parents[1]
DOMAIN = "phrasebench"
ROOMS = ("app", "core")
KEYWORDS = {
    "say": None,
    "to_say": None,
    "say_in": ((1, "c"), 2),
    "to_say_in": ((1, "c"), 2),
    "say_counted": (1, 2),
    "tr": None,
    "translated": None,
    "translate": (2,),
}
"""The functions that texts are given to, and which of their arguments is the text."""

PLACES = re.compile(r"\{\w+\}|%\d|%n")


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
    for room in ROOMS:
        found = extract_from_dir(ROOT / room, [("**.py", "python")], {}, KEYWORDS, ("Translators:",))
        for name, line, text, comments, context in found:
            place = f"{room}/{Path(name).as_posix()}"
            catalogue.add(text, locations=[(place, line)], auto_comments=comments, context=context)
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

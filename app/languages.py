"""The language that the program speaks: that of the system, where there is a catalogue of texts for it; else English.

Catalogues are those of gettext, ``assets/languages/de/LC_MESSAGES/phrasebench.mo``; ``.ci/make_texts.py`` collects the
texts and makes them. Every process of the program finds its language by itself, from the same environment.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Final

from app.resources import HOME
from core.song.wording import speak

if TYPE_CHECKING:
    from gettext import NullTranslations

DOMAIN: Final = "phrasebench"
FOLDER: Final = HOME / "assets" / "languages"
OWN_VARIABLE: Final = "PHRASEBENCH_LANGUAGE"
FOLDER_VARIABLE: Final = "PHRASEBENCH_LANGUAGES"
"""Names another folder of catalogues, for a translation that is being tried."""
VARIABLES: Final = (OWN_VARIABLE, "LANGUAGE", "LC_ALL", "LC_MESSAGES", "LANG")
"""What names a language, the first that is set; the last four as gettext's manual lists them."""

ENGLISH: Final = ("en", "C", "POSIX")


def languages_wanted(environment: Mapping[str, str]) -> tuple[str, ...]:
    """The languages that would be understood, the best first, as ``de_AT`` and ``de``; empty for English.

    Args:
        environment: the variables of the process; a list such as ``de:fr`` ends where it says English.
    """
    said = next((environment[name] for name in VARIABLES if environment.get(name)), "")
    wanted: list[str] = []
    for one in said.split(":"):
        name = one.partition(".")[0].partition("@")[0]
        language = name.partition("_")[0]
        if not name or language in ENGLISH:
            break
        wanted += [name, language] if name != language else [name]
    return tuple(wanted)


def find_catalogue(wanted: tuple[str, ...], folder: Path) -> NullTranslations | None:
    """The catalogue of the first language that there is one for; None for English or where it cannot be read."""
    if not wanted or not folder.is_dir():
        return None
    import gettext

    try:
        return gettext.translation(DOMAIN, str(folder), wanted)
    except (OSError, UnicodeDecodeError):
        return None


@cache
def chosen_catalogue() -> NullTranslations | None:
    """The catalogue of this process, looked for once; None for English."""
    return find_catalogue(languages_wanted(os.environ), Path(os.environ.get(FOLDER_VARIABLE) or FOLDER))


def speak_language() -> None:
    """Speak the language of the system from now on in this process."""
    if (catalogue := chosen_catalogue()) is not None:
        speak(catalogue)

"""The one place where a text that people read or hear can be put into another language.

A text is said where it is put together: ``say("Part {number} is the last one.", number=4)``. The text itself is its own
key, so English needs no catalogue. Its places have names, and whatever fills a place has been said already, so that a
translation may put the places in another order. A sentence is said whole, never glued together from fragments whose
order or endings another language would want otherwise.

A language is chosen once, by :func:`speak`, before anything is said: what is computed is kept, its reasons with it.
Names that files and programs go by (the fields and values of JSON, of MusicXML, of the lesson file) are never said.
"""

from __future__ import annotations

from typing import Protocol


class Catalogue(Protocol):
    """The texts of a language; the class of the standard library's gettext has this shape."""

    def gettext(self, message: str, /) -> str:
        """A text in this language; the text itself where it has none."""

    def pgettext(self, context: str, message: str, /) -> str:
        """A text that means different things in different places, as it is said in this one."""

    def ngettext(self, msgid1: str, msgid2: str, n: int, /) -> str:
        """The form of a text for so many of a thing."""


_chosen: list[Catalogue] = []
"""Empty for English, which is written in the code."""


def speak(catalogue: Catalogue | None) -> None:
    """Chooses the language of this process; None for English. Whatever was said before stays as it is."""
    _chosen[:] = [] if catalogue is None else [catalogue]


def in_english() -> bool:
    """Whether texts are said as they are written: what reads them back knows no other language."""
    return not _chosen


def say(text: str, /, **values: object) -> str:
    """A text in the language chosen, its places filled.

    Args:
        text: a literal, or one that :func:`to_say` has marked; ``{name}`` stands for a place where values are given.
        values: what fills the places, said already.
    """
    said = _chosen[0].gettext(text) if _chosen else text
    return _filled(said, text, values) if values else said


def say_in(context: str, text: str, /, **values: object) -> str:
    """A text that has several meanings, said with the one it has here: ``say_in("interval", "second")``."""
    said = _chosen[0].pgettext(context, text) if _chosen else text
    return _filled(said, text, values) if values else said


def say_counted(one: str, many: str, count: int, /, **values: object) -> str:
    """A text about so many of a thing, in the form that the language has for the number.

    Args:
        one: the text for a single one; both are literals.
        many: the text for any other number.
        count: how many, at least 0; fills the place ``{count}`` in figures.
        values: what fills the other places, said already.
    """
    text = one if count == 1 else many
    said = _chosen[0].ngettext(one, many, count) if _chosen else text
    return _filled(said, text, {"count": count, **values})


def to_say(text: str) -> str:
    """Marks a text that stands in a table and is said later, by ``say(TABLE[key])``; returns it as it is."""
    return text


def to_say_in(_context: str, text: str) -> str:
    """Marks a text of a table that is said later with its meaning, by ``say_in(context, TABLE[key])``."""
    return text


def language_code() -> str:
    """The code of the language chosen (BCP 47), ``en`` or ``de``; every translation gives its own."""
    code = say_in("code of the language of these texts", "en")
    language = code.partition("-")[0]
    # What is no code would keep a plan from being set for printing.
    return code if language.isascii() and language.isalpha() and len(language) in (2, 3) else "en"


def _filled(said: str, text: str, values: dict[str, object]) -> str:
    """The places filled; the English text where a translation names a place that there is not."""
    try:
        return said.format_map(values)
    except (KeyError, IndexError, ValueError, AttributeError):
        return text.format_map(values)

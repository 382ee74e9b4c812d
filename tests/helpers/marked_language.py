"""A language made for tests: every text of English between two signs, so that what was never said is seen at once."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager

from core.song.wording import Catalogue, speak

OPEN, CLOSE = "⟦", "⟧"


class MarkedLanguage:
    """Says every text between the two signs."""

    def gettext(self, message: str, /) -> str:
        return f"{OPEN}{message}{CLOSE}"

    def pgettext(self, _context: str, message: str, /) -> str:
        return self.gettext(message)

    def ngettext(self, msgid1: str, msgid2: str, n: int, /) -> str:
        return self.gettext(msgid1 if n == 1 else msgid2)


@contextmanager
def marked_language() -> Iterator[None]:
    """Core speaks the marked language within; English again afterwards."""
    with speaking(MarkedLanguage()):
        yield


@contextmanager
def speaking(catalogue: Catalogue) -> Iterator[None]:
    """Core speaks a language within; English again afterwards, and what was kept of names said is forgotten."""
    _forget_names()
    speak(catalogue)
    try:
        yield
    finally:
        speak(None)
        _forget_names()


def _forget_names() -> None:
    """Empty the caches of the script check: a program speaks one language as long as it runs, and they count on it."""
    for name, module in tuple(sys.modules.items()):
        if name.startswith("core.session."):
            for kept in vars(module).values():
                if callable(forget := getattr(kept, "cache_clear", None)):
                    forget()


def unsaid(text: str) -> str:
    """What stands outside all signs: data such as names of notes, or words that were never said."""
    depth, outside = 0, []
    for letter in text:
        if letter == OPEN:
            depth += 1
        elif letter == CLOSE:
            depth -= 1
        elif not depth:
            outside.append(letter)
    return "".join(outside).strip()

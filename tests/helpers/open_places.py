"""The marked language with its places left open: a word that fills a place and was never said is seen as well."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager

from tests.helpers.marked_language import CLOSE, OPEN, MarkedLanguage, speaking, unsaid

_PLACE = re.compile(r"\{\w+[^{}]*\}")
_WORD = re.compile(r"[A-Za-z]*[a-z]{2,}")


class OpenPlaces(MarkedLanguage):
    """Says every text between the two signs, and what fills its places outside them."""

    def gettext(self, message: str, /) -> str:
        return OPEN + _PLACE.sub(lambda place: f"{CLOSE}{place[0]}{OPEN}", message) + CLOSE


@contextmanager
def open_places() -> Iterator[None]:
    """Core speaks this language within; English again afterwards."""
    with speaking(OpenPlaces()):
        yield


def words_unsaid(text: str) -> list[str]:
    """The words in a text that were never said, its places included; a sign or a letter alone is no word."""
    return _WORD.findall(unsaid(text.replace(OPEN, f" {OPEN}")))

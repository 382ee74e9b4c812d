"""A book of ABC tunes taken apart: its text, the tunes in it, their titles."""

from __future__ import annotations

import html
import re
import unicodedata
from functools import lru_cache
from typing import Final

from msgspec import Struct

from core.song.errors import ForeignFileError
from core.song.wording import say

_START: Final = re.compile(r"^X:.*$", re.MULTILINE)
_KEY: Final = re.compile(r"^K:", re.MULTILINE)
_TITLE: Final = re.compile(r"^T:(.*)$", re.MULTILINE)
_ESCAPED: Final = re.compile(r"\\([`'^~\"co])([A-Za-z])")
_ACCENTS: Final = {
    "`": "\u0300",
    "'": "\u0301",
    "^": "\u0302",
    "~": "\u0303",
    '"': "\u0308",
    "c": "\u0327",
    "o": "\u030a",
}


class BookTune(Struct, frozen=True):
    """One tune of a book: its text from ``X:`` on, with the book's own fields before it."""

    title: str
    text: str


def tunes_of(name: str, data: bytes) -> tuple[BookTune, ...]:
    """The tunes of an ABC file in order.

    A file without ``X:`` but with a key is one tune. Fields before the first ``X:`` hold for every tune. Raises
    ForeignFileError where there is no tune.
    """
    tunes = _split(data)
    if not tunes:
        raise ForeignFileError(
            name, "", say("there is no ABC tune in it"), say("open a file with fields such as X: and K:")
        )
    return tunes


@lru_cache(maxsize=2)
def _split(data: bytes) -> tuple[BookTune, ...]:
    """The tunes in a file's bytes, kept for the next tune that is read from the same book."""
    text = _decoded(data)
    starts = [found.start() for found in _START.finditer(text)]
    if not starts and _KEY.search(text):
        return (BookTune(_title(text), text),)
    if not starts or not _KEY.search(text):
        return ()
    head = "".join(line + "\n" for line in text[: starts[0]].splitlines() if re.match(r"[MLQ]:|%%", line))
    pieces = [text[start:end] for start, end in zip(starts, [*starts[1:], len(text)], strict=True)]
    return tuple(BookTune(_title(piece), head + piece) for piece in pieces)


def readable_text(text: str) -> str:
    """A field's text with the standard's escapes for accented letters undone."""
    text = html.unescape(text)
    text = _ESCAPED.sub(lambda found: unicodedata.normalize("NFC", found[2] + _ACCENTS[found[1]]), text)
    return " ".join(text.split())


def _title(text: str) -> str:
    found = _TITLE.search(text)
    return readable_text(found[1]) if found else ""


def _decoded(data: bytes) -> str:
    data = data.removeprefix(b"\xef\xbb\xbf")
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        text = data.decode("latin-1")
    return text.replace("\r\n", "\n").replace("\r", "\n")

"""Which sentences of the teacher's own words are not among the computed ones."""

from __future__ import annotations

import re
from typing import Final

Stretch = tuple[int, int]
"""The place of a sentence's first character in a text, and the place behind its last."""

_SENTENCE: Final = re.compile(r"[^\s.!?…][^.!?…\n]*[.!?…]*")


def sentences(text: str) -> tuple[Stretch, ...]:
    """Where the sentences of a text lie; a line of its own is a sentence too."""
    return tuple((found.start(), found.start() + len(found.group().rstrip())) for found in _SENTENCE.finditer(text))


def changed_sentences(own: str, computed: str) -> tuple[Stretch, ...]:
    """Where the sentences of a text lie that another text does not have; spaces and line ends do not count."""
    known = {_plain(computed[start:end]) for start, end in sentences(computed)}
    return tuple((start, end) for start, end in sentences(own) if _plain(own[start:end]) not in known)


def _plain(sentence: str) -> str:
    return " ".join(sentence.split())

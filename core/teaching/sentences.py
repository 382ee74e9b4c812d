"""Sentences short enough to be said in one breath, put together from phrases."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from msgspec import Struct

from core.song.wording import say

LONGEST_SENTENCE: Final = 24
"""Words; a longer sentence is not said in one breath."""


class Phrase(Struct, frozen=True):
    """A piece of a sentence.

    Attributes:
        text: the words, said already.
        lists: whether it lists several notes, so that more than a comma has to stand beside it.
    """

    text: str
    lists: bool = False


def word_count(phrases: Sequence[str]) -> int:
    """How many words phrases have."""
    return sum(len(phrase.split()) for phrase in phrases)


def joined(phrases: Sequence[Phrase]) -> str:
    """Phrases in one sentence: a comma between plain ones, a semicolon beside one that lists notes."""
    if not phrases:
        return ""
    text = phrases[0].text
    for before, phrase in pairwise(phrases):
        if before.lists or phrase.lists:
            text = say("{before}; {phrase}", before=text, phrase=phrase.text)
        else:
            text = say("{before}, {phrase}", before=text, phrase=phrase.text)
    return text


def sentence(phrase: str) -> str:
    """A phrase as a sentence of its own, with a capital letter and a full stop."""
    return capital(say("{sentence}.", sentence=phrase))


def capital(text: str) -> str:
    """A text with a capital letter at its start."""
    return text[:1].upper() + text[1:]

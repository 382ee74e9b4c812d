"""Sentences short enough to be said in one breath, put together from phrases."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

LONGEST_SENTENCE: Final = 24
"""Words; a longer sentence is not said in one breath."""


def word_count(phrases: Sequence[str]) -> int:
    """How many words phrases have."""
    return sum(len(phrase.split()) for phrase in phrases)


def sentence_of(phrases: Sequence[str], ending: str = "") -> str:
    """Phrases as one sentence: a comma between plain ones, a semicolon beside one that lists notes."""
    if not phrases:
        return ""
    text = phrases[0]
    for before, phrase in pairwise(phrases):
        text += f"{';' if ':' in before or ' each' in before or ':' in phrase else ','} {phrase}"
    return capital(f"{text}{ending}.")


def capital(sentence: str) -> str:
    """A sentence with a capital letter at its start."""
    return sentence[:1].upper() + sentence[1:]

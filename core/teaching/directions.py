"""The computed words of a part, by kind."""

from __future__ import annotations

from core.song.song import Song
from core.teaching.left_hand_words import left_hand_words
from core.teaching.naming import Names, Naming
from core.teaching.right_hand_words import right_hand_words
from core.teaching.together_words import together_words

COMPUTED_WORDS = {
    "right_hand": right_hand_words,
    "left_hand": left_hand_words,
    "together": together_words,
}


def computed_words(song: Song, number: int, kind: str, naming: Naming = Naming.LETTERS) -> str:
    """The computed words of a kind (``right_hand``, ``left_hand``, ``together``) for a part; may be empty."""
    return COMPUTED_WORDS[kind](song, number, Names.of_part(song, number, naming))

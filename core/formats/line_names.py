"""What the name of a staff or track tells: a hand, or that it is the melody.

Names in the languages in which piano music is commonly labelled (common practice).
"""

from __future__ import annotations

import re
from typing import Final

from core.song.note import Hand

_RIGHT: Final = re.compile(r"\b(right|rechts|rechte|rh|r\.\s?h|droite|destra|derecha|direita)\b", re.IGNORECASE)
_LEFT: Final = re.compile(r"\b(left|links|linke|lh|l\.\s?h|gauche|sinistra|izquierda|esquerda)\b", re.IGNORECASE)
_MELODY: Final = re.compile(
    r"\b(melod\w*|vocals?|voice|voix|voz|voce|lead|sing\w*|gesang|stimme|chant|canto|solo)\b", re.IGNORECASE
)


def named_hand(name: str) -> Hand | None:
    """The hand that a name clearly tells, or None."""
    is_right, is_left = bool(_RIGHT.search(name)), bool(_LEFT.search(name))
    if is_right is is_left:
        return None
    return Hand.RIGHT if is_right else Hand.LEFT


def is_melody_name(name: str) -> bool:
    """Whether a name says that its line is sung or leads."""
    return bool(_MELODY.search(name))

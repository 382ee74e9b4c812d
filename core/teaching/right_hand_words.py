"""What to say for the right hand: its notes in order, with directions, counts and waits.

Every note's name is said exactly once and in order, so that a learner can write the list down while listening,
and no other single capital letter is said but the C of 'middle C': the article 'a' never opens a sentence.
"""

from __future__ import annotations

from typing import Final

from core.song.song import Song
from core.teaching.counting import Counting, counting_sentence
from core.teaching.line_words import LineTelling
from core.teaching.naming import LETTER_NAMES, Names
from core.teaching.resemblance import Resemblance, resemblance

WORTH_LEADING: Final = 0.5
"""A part that resembles one before it more than this begins with that."""


def right_hand_words(song: Song, number: int, names: Names = LETTER_NAMES, lead: str | None = None) -> str:
    """The computed words for the right hand of a part; empty where it has no melody.

    Args:
        song: the song.
        number: part number from 1.
        names: what notes are called.
        lead: the sentence that tells which part it comes back from, where that is known; computed where it is None.
    """
    part = song.part(number)
    if not any(not note.is_grace for note in part.melody):
        return ""
    metre = song.metre_at(song.part_onsets[number - 1])
    telling = LineTelling(part.melody, Counting.of(metre), names)
    if lead is None:
        lead = leading_sentence(resemblance(song, number, taught_before(song, number)))
    opening = [lead]
    if number > 1 and metre != song.metre_at(song.part_onsets[number - 2]):
        opening.append(counting_sentence(metre))
    return " ".join([*filter(None, opening), *telling.sentences()])


def taught_before(song: Song, number: int) -> tuple[int, ...]:
    """Numbers of the parts that a learner knows when a part comes."""
    return tuple(other for other in range(1, number) if song.part(other).teaching.taught)


def leading_sentence(found: Resemblance | None) -> str:
    """Which part another one comes back from, without a note's name; empty where it comes from none."""
    return found.lead if found is not None and found.strength > WORTH_LEADING else ""

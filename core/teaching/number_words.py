"""Numbers, ordinals and lengths as a teacher says them."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Final

from core.song.wording import say, say_counted, say_in, to_say, to_say_in

NUMBERS_IN_ENGLISH: Final = (
    to_say_in("number", "no"), to_say_in("number", "one"), to_say_in("number", "two"), to_say_in("number", "three"),
    to_say_in("number", "four"), to_say_in("number", "five"), to_say_in("number", "six"),
    to_say_in("number", "seven"), to_say_in("number", "eight"), to_say_in("number", "nine"),
    to_say_in("number", "ten"), to_say_in("number", "eleven"), to_say_in("number", "twelve"),
    to_say_in("number", "thirteen"), to_say_in("number", "fourteen"), to_say_in("number", "fifteen"),
    to_say_in("number", "sixteen"), to_say_in("number", "seventeen"), to_say_in("number", "eighteen"),
    to_say_in("number", "nineteen"), to_say_in("number", "twenty"),
)  # fmt: skip  # a table, read line by line
"""Whole numbers from 0 on."""
ORDINALS_IN_ENGLISH: Final = (
    to_say_in("ordinal", "first"), to_say_in("ordinal", "second"), to_say_in("ordinal", "third"),
    to_say_in("ordinal", "fourth"), to_say_in("ordinal", "fifth"), to_say_in("ordinal", "sixth"),
    to_say_in("ordinal", "seventh"), to_say_in("ordinal", "eighth"), to_say_in("ordinal", "ninth"),
    to_say_in("ordinal", "tenth"), to_say_in("ordinal", "eleventh"), to_say_in("ordinal", "twelfth"),
    to_say_in("ordinal", "thirteenth"), to_say_in("ordinal", "fourteenth"), to_say_in("ordinal", "fifteenth"),
    to_say_in("ordinal", "sixteenth"), to_say_in("ordinal", "seventeenth"), to_say_in("ordinal", "eighteenth"),
    to_say_in("ordinal", "nineteenth"), to_say_in("ordinal", "twentieth"),
)  # fmt: skip  # a table, read line by line
"""The how-manyth, from the first on."""
LAST_ORDINAL: Final = len(ORDINALS_IN_ENGLISH)
"""The last how-manyth that is said in a word."""

BEAT: Final = "beat"
COUNT: Final = "count"
"""What is counted: beats, or the short notes of a compound metre."""
_PARTS_OF_ONE: Final = {
    (BEAT, Fraction(1, 2)): to_say("half a beat"),
    (BEAT, Fraction(1, 3)): to_say("a third of a beat"),
    (BEAT, Fraction(2, 3)): to_say("two thirds of a beat"),
    (BEAT, Fraction(1, 4)): to_say("a quarter of a beat"),
    (BEAT, Fraction(3, 4)): to_say("three quarters of a beat"),
    (COUNT, Fraction(1, 2)): to_say("half a count"),
    (COUNT, Fraction(1, 3)): to_say("a third of a count"),
    (COUNT, Fraction(2, 3)): to_say("two thirds of a count"),
    (COUNT, Fraction(1, 4)): to_say("a quarter of a count"),
    (COUNT, Fraction(3, 4)): to_say("three quarters of a count"),
}
_ONE_AND_PARTS: Final = {
    (BEAT, Fraction(1, 2)): to_say("a beat and a half"),
    (BEAT, Fraction(1, 3)): to_say("a beat and a third"),
    (BEAT, Fraction(2, 3)): to_say("a beat and two thirds"),
    (BEAT, Fraction(1, 4)): to_say("a beat and a quarter"),
    (BEAT, Fraction(3, 4)): to_say("a beat and three quarters"),
    (COUNT, Fraction(1, 2)): to_say("a count and a half"),
    (COUNT, Fraction(1, 3)): to_say("a count and a third"),
    (COUNT, Fraction(2, 3)): to_say("a count and two thirds"),
    (COUNT, Fraction(1, 4)): to_say("a count and a quarter"),
    (COUNT, Fraction(3, 4)): to_say("a count and three quarters"),
}
_AND_PARTS: Final = {
    Fraction(1, 2): to_say("{length} and a half"),
    Fraction(1, 3): to_say("{length} and a third"),
    Fraction(2, 3): to_say("{length} and two thirds"),
    Fraction(1, 4): to_say("{length} and a quarter"),
    Fraction(3, 4): to_say("{length} and three quarters"),
}
_IN_FIGURES: Final = {
    0: to_say_in("ordinal", "{number}th"),
    1: to_say_in("ordinal", "{number}st"),
    2: to_say_in("ordinal", "{number}nd"),
    3: to_say_in("ordinal", "{number}rd"),
}


def number_word(number: int) -> str:
    """A whole number in words up to twenty, in figures above."""
    return say_in("number", NUMBERS_IN_ENGLISH[number]) if 0 <= number < len(NUMBERS_IN_ENGLISH) else str(number)


def ordinal_word(number: int) -> str:
    """The how-manyth, in words up to twentieth, in figures above."""
    if 1 <= number <= LAST_ORDINAL:
        return say_in("ordinal", ORDINALS_IN_ENGLISH[number - 1])
    last = number % 10 if number % 100 not in (11, 12, 13) else 0
    return say_in("ordinal", _IN_FIGURES.get(last, _IN_FIGURES[0]), number=number)


def times_word(number: int) -> str:
    """How often: once, twice, three times."""
    if number in (1, 2):
        return say("once") if number == 1 else say("twice")
    return say_counted("{number} time", "{number} times", number, number=number_word(number))


def beats_words(beats: Fraction, noun: str = BEAT) -> str:
    """A length in beats as it is said: 'one beat', 'two beats and a half', 'half a beat'.

    A length that has no plain name is rounded to the nearest quarter beat and said with 'about'.

    Args:
        beats: more than 0.
        noun: what is counted: ``beat``, or ``count`` where a compound metre is counted in its short notes.
    """
    whole, rest = divmod(beats, 1)
    if not rest:
        return _whole(int(whole), noun)
    if rest not in _AND_PARTS:
        return say("about {length}", length=beats_words(max(Fraction(round(beats * 4), 4), Fraction(1, 4)), noun))
    if not whole:
        return say(_PARTS_OF_ONE[noun, rest])
    if whole == 1:
        return say(_ONE_AND_PARTS[noun, rest])
    return say(_AND_PARTS[rest], length=_whole(int(whole), noun))


def _whole(number: int, noun: str) -> str:
    word = number_word(number)
    if noun == BEAT:
        # Translators: {count} is the number in figures, where its word would need a form that is not there.
        return say_counted("{number} beat", "{number} beats", number, number=word)
    return say_counted("{number} count", "{number} counts", number, number=word)


def listed(words: Iterable[str]) -> str:
    """Words as a list: 'E', 'E and G', 'E, G and B'."""
    *first, last = (*words,) or ("",)
    if not first:
        return last
    before = first[0]
    for word in first[1:]:
        before = say("{before}, {word}", before=before, word=word)
    return say("{before} and {last}", before=before, last=last)

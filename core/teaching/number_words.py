"""Numbers, ordinals and lengths as a teacher says them."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

_NUMBERS: Final = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen", "twenty",
)  # fmt: skip  # a table, read line by line
_ORDINALS: Final = (
    "", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh",
    "twelfth", "thirteenth", "fourteenth", "fifteenth", "sixteenth", "seventeenth", "eighteenth", "nineteenth",
    "twentieth",
)  # fmt: skip  # a table, read line by line
LAST_ORDINAL: Final = len(_ORDINALS) - 1
"""The last how-manyth that is said in a word."""
_PARTS_OF_A_BEAT: Final = {
    Fraction(1, 2): "half a beat",
    Fraction(1, 3): "a third of a beat",
    Fraction(2, 3): "two thirds of a beat",
    Fraction(1, 4): "a quarter of a beat",
    Fraction(3, 4): "three quarters of a beat",
}
_AND_PARTS: Final = {
    Fraction(1, 2): "and a half",
    Fraction(1, 3): "and a third",
    Fraction(2, 3): "and two thirds",
    Fraction(1, 4): "and a quarter",
    Fraction(3, 4): "and three quarters",
}


def number_word(number: int) -> str:
    """A whole number in words up to twenty, in figures above."""
    return _NUMBERS[number] if 0 <= number < len(_NUMBERS) else str(number)


def ordinal_word(number: int) -> str:
    """The how-manyth, in words up to twentieth, in figures above."""
    if 1 <= number < len(_ORDINALS):
        return _ORDINALS[number]
    last = number % 10 if number % 100 not in (11, 12, 13) else 0
    return f"{number}{({1: 'st', 2: 'nd', 3: 'rd'}).get(last, 'th')}"


def times_word(number: int) -> str:
    """How often: once, twice, three times."""
    return {1: "once", 2: "twice"}.get(number, f"{number_word(number)} times")


def beats_words(beats: Fraction, noun: str = "beat") -> str:
    """A length in beats as it is said: 'one beat', 'two beats and a half', 'half a beat'.

    A length that has no plain name is rounded to the nearest quarter beat and said with 'about'.

    Args:
        beats: more than 0.
        noun: what is counted: ``beat``, or ``count`` where a compound metre is counted in its short notes.
    """
    whole, rest = divmod(beats, 1)
    if not rest:
        return f"{number_word(int(whole))} {noun}{'' if whole == 1 else 's'}"
    if rest not in _AND_PARTS:
        return f"about {beats_words(max(Fraction(round(beats * 4), 4), Fraction(1, 4)), noun)}"
    if not whole:
        return _PARTS_OF_A_BEAT[rest].replace("beat", noun)
    if whole == 1:
        return f"a {noun} {_AND_PARTS[rest]}"
    return f"{number_word(int(whole))} {noun}s {_AND_PARTS[rest]}"


def listed(words: list[str]) -> str:
    """Words as a list: 'E', 'E and G', 'E, G and B'."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"

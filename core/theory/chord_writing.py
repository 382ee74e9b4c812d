"""Chord symbols written: in plain letters, with musical signs, and as they are said."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from core.song.chord import FLAT_FIFTH, ChordSymbol, Degree, Quality
from core.song.pitch import NoteName, altered_degree
from core.song.wording import say, say_in, to_say, to_say_in

ALTERED_TONES: Final = (Degree(5, -1), Degree(5, 1), Degree(9, -1), Degree(9, 1))
"""What 'alt' stands for: no natural fifth or ninth, both neighbours of each (common practice)."""

_STEMS: Final = {
    Quality.MAJOR: "",
    Quality.MINOR: "m",
    Quality.DOMINANT: "",
    Quality.AUGMENTED: "aug",
    Quality.DIMINISHED: "dim",
    Quality.HALF_DIMINISHED: "m",
    Quality.MINOR_MAJOR: "mMaj",
    Quality.SUSPENDED_SECOND: "",
    Quality.SUSPENDED_FOURTH: "",
    Quality.POWER: "5",
}
_SUSPENSIONS: Final = {Quality.SUSPENDED_SECOND: "sus2", Quality.SUSPENDED_FOURTH: "sus4"}
_SPOKEN_FAMILIES: Final = {
    Quality.MINOR: to_say("{chord} minor"),
    Quality.AUGMENTED: to_say("{chord} augmented"),
    Quality.DIMINISHED: to_say("{chord} diminished"),
    Quality.HALF_DIMINISHED: to_say("{chord} minor"),
    Quality.MINOR_MAJOR: to_say("{chord} minor major"),
    Quality.POWER: to_say("{chord} five"),
}
_SPOKEN_EXTENSIONS: Final = {
    6: to_say("{chord} six"),
    7: to_say("{chord} seven"),
    9: to_say("{chord} nine"),
    11: to_say("{chord} eleven"),
    13: to_say("{chord} thirteen"),
}
_SPOKEN_SUSPENSIONS: Final = {
    Quality.SUSPENDED_SECOND: to_say("{chord} sus two"),
    Quality.SUSPENDED_FOURTH: to_say("{chord} sus four"),
}
_SPOKEN_NUMBERS: Final = (
    to_say_in("number", "one"),
    to_say_in("number", "two"),
    to_say_in("number", "three"),
    to_say_in("number", "four"),
    to_say_in("number", "five"),
    to_say_in("number", "six"),
    to_say_in("number", "seven"),
    to_say_in("number", "eight"),
    to_say_in("number", "nine"),
    to_say_in("number", "ten"),
    to_say_in("number", "eleven"),
    to_say_in("number", "twelve"),
    to_say_in("number", "thirteen"),
)
"""Of the degrees from 1 on."""
_SPOKEN_OMISSIONS: Final = (
    to_say("{chord} no root"), to_say("{chord} no second"), to_say("{chord} no third"), to_say("{chord} no fourth"),
    to_say("{chord} no fifth"), to_say("{chord} no sixth"), to_say("{chord} no seventh"), to_say("{chord} no octave"),
    to_say("{chord} no ninth"), to_say("{chord} no tenth"), to_say("{chord} no eleventh"),
    to_say("{chord} no twelfth"), to_say("{chord} no thirteenth"),
)  # fmt: skip  # a table, read line by line
"""Of the degrees from 1 on."""


def write_chord(symbol: ChordSymbol) -> str:
    """The symbol in letters that every keyboard has: ``Em``, ``F#m7b5``, ``C/E``, ``N.C.``; one text a chord."""
    if symbol.is_silent:
        return "N.C."
    bass = f"/{symbol.bass.plain}" if symbol.bass is not None else ""
    return symbol.root.plain + _suffix(symbol) + bass


def show_chord(symbol: ChordSymbol, name_of: Callable[[NoteName], str] | None = None) -> str:
    """The symbol with musical signs, for the screen and the page: ``F♯m7♭5``.

    Args:
        symbol: the chord.
        name_of: what its root and bass are called, or None for letters with signs.
    """
    if symbol.is_silent:
        return "N.C."
    called = name_of or _with_signs
    bass = f"/{called(symbol.bass)}" if symbol.bass is not None else ""
    suffix = _suffix(symbol).replace("addb", "add♭").replace("bb", "𝄫").replace("##", "𝄪")
    return called(symbol.root) + "".join(_shown(suffix)) + bass


def _with_signs(name: NoteName) -> str:
    return name.symbol


def _in_words(name: NoteName) -> str:
    return name.spoken


def _shown(suffix: str) -> list[str]:
    """Exchange the letter b for a flat where a degree follows it; no word of a suffix has a b of its own."""
    return [{"b": "♭", "#": "♯"}.get(sign, sign) for sign in suffix]


def _alterations(symbol: ChordSymbol) -> list[Degree]:
    flat_fifth = [FLAT_FIFTH] if symbol.quality is Quality.HALF_DIMINISHED else []
    return sorted([*flat_fifth, *(degree for degree in symbol.alterations if degree.number != 7)])


def _suffix(symbol: ChordSymbol) -> str:
    """All between the root and the bass."""
    extension, added = symbol.extension, list(symbol.added)
    number = str(extension) if extension > 5 else ""
    if extension == 6 and Degree(9) in added:
        number = "6/9"
        added.remove(Degree(9))
    text = _STEMS[symbol.quality]
    if (symbol.quality is Quality.MAJOR and extension >= 7) or _has_raised_seventh(symbol):
        text = "maj"
    text += number + _SUSPENSIONS.get(symbol.quality, "")
    alterations = _alterations(symbol)
    if symbol.quality is Quality.DOMINANT and extension == 7 and alterations == list(ALTERED_TONES):
        text += "alt"
    elif alterations:
        signs = "".join(_signs(degree.alteration) + str(degree.number) for degree in alterations)
        text += signs if extension > 5 else f"({signs})"
    text += "".join("add" + _added(degree) for degree in added)
    return text + "".join(f"no{number}" for number in symbol.omitted)


def _has_raised_seventh(symbol: ChordSymbol) -> bool:
    """Whether it is a suspended chord with a major seventh."""
    return Degree(7, 1) in symbol.alterations


def _is_called_major(symbol: ChordSymbol) -> bool:
    """Whether a major chord is said with its family: C major, C major seven, but C six, C add nine, C over E."""
    if symbol.quality is not Quality.MAJOR:
        return False
    plain = not (symbol.added or symbol.omitted or symbol.bass)
    return symbol.extension >= 7 or bool(symbol.alterations) or (symbol.extension == 5 and plain)


def _signs(alteration: int) -> str:
    return "#" * alteration if alteration > 0 else "b" * -alteration


def _added(degree: Degree) -> str:
    if degree == Degree(7, 1):
        return "maj7"
    return _signs(degree.alteration - (degree.number == 7)) + str(degree.number)


def spoken_chord(symbol: ChordSymbol, name_of: Callable[[NoteName], str] | None = None) -> str:
    """The symbol as a teacher says it: ``E minor``, ``C sharp minor seven flat five``, ``F over A``, ``no chord``.

    A plain major triad is said with its family (``F major``), so that it is not taken for a note; over a bass note
    it is not (``F over A``).

    Args:
        symbol: the chord.
        name_of: what its root and bass are called, or None for letters with their accidentals in words.
    """
    if symbol.is_silent:
        return say("no chord")
    called = name_of or _in_words
    words = called(symbol.root)
    if symbol.quality in _SPOKEN_FAMILIES:
        words = say(_SPOKEN_FAMILIES[symbol.quality], chord=words)
    extension, added = symbol.extension, list(symbol.added)
    if _is_called_major(symbol) or _has_raised_seventh(symbol):
        words = say("{chord} major", chord=words)
    if extension == 6 and Degree(9) in added:
        words = say("{chord} six nine", chord=words)
        added.remove(Degree(9))
    elif extension in _SPOKEN_EXTENSIONS:
        words = say(_SPOKEN_EXTENSIONS[extension], chord=words)
    if symbol.quality in _SPOKEN_SUSPENSIONS:
        words = say(_SPOKEN_SUSPENSIONS[symbol.quality], chord=words)
    alterations = _alterations(symbol)
    if symbol.quality is Quality.DOMINANT and extension == 7 and alterations == list(ALTERED_TONES):
        words = say("{chord} altered", chord=words)
    else:
        words = " ".join((words, *map(_spoken_degree, alterations)))
    for degree in added:
        words = say("{chord} add {degree}", chord=words, degree=_spoken_added(degree))
    for number in symbol.omitted:
        words = say(_SPOKEN_OMISSIONS[number - 1], chord=words)
    return words if symbol.bass is None else say("{chord} over {bass}", chord=words, bass=called(symbol.bass))


def _spoken_degree(degree: Degree, alteration: int | None = None) -> str:
    """A degree in words, with its own alteration or another: ``flat nine``."""
    return altered_degree(
        say_in("number", _SPOKEN_NUMBERS[degree.number - 1]), degree.alteration if alteration is None else alteration
    )


def _spoken_added(degree: Degree) -> str:
    """An added degree in words; a seventh is minor unless it is said to be major."""
    if degree == Degree(7, 1):
        return say("major seven")
    return _spoken_degree(degree, degree.alteration - (degree.number == 7))

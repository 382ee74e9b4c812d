"""Chord symbols written: in plain letters, with musical signs, and as they are said."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from core.song.chord import FLAT_FIFTH, ChordSymbol, Degree, Quality
from core.song.pitch import SPOKEN_ACCIDENTALS, NoteName

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
    Quality.MINOR: " minor",
    Quality.AUGMENTED: " augmented",
    Quality.DIMINISHED: " diminished",
    Quality.HALF_DIMINISHED: " minor",
    Quality.MINOR_MAJOR: " minor major",
    Quality.POWER: " five",
}
_SPOKEN_SUSPENSIONS: Final = {Quality.SUSPENDED_SECOND: " sus two", Quality.SUSPENDED_FOURTH: " sus four"}
_SPOKEN_NUMBERS: Final = "zero one two three four five six seven eight nine ten eleven twelve thirteen".split()
_SPOKEN_OMISSIONS: Final = {1: "root", 2: "second", 3: "third", 5: "fifth", 8: "octave", 12: "twelfth"}


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
        return "no chord"
    called = name_of or _in_words
    words = called(symbol.root) + _SPOKEN_FAMILIES.get(symbol.quality, "")
    extension, added = symbol.extension, list(symbol.added)
    if _is_called_major(symbol) or _has_raised_seventh(symbol):
        words += " major"
    if extension > 5:
        words += f" {_SPOKEN_NUMBERS[extension]}"
    if extension == 6 and Degree(9) in added:
        words += " nine"
        added.remove(Degree(9))
    words += _SPOKEN_SUSPENSIONS.get(symbol.quality, "")
    alterations = _alterations(symbol)
    if symbol.quality is Quality.DOMINANT and extension == 7 and alterations == list(ALTERED_TONES):
        words += " altered"
    else:
        words += "".join(_spoken_degree(degree) for degree in alterations)
    words += "".join(" add" + _spoken_degree(degree, added=True) for degree in added)
    words += "".join(f" no {_SPOKEN_OMISSIONS.get(n, _SPOKEN_NUMBERS[n] + 'th')}" for n in symbol.omitted)
    return words + (f" over {called(symbol.bass)}" if symbol.bass is not None else "")


def _spoken_degree(degree: Degree, *, added: bool = False) -> str:
    if added and degree == Degree(7, 1):
        return " major seven"
    alteration = degree.alteration - (added and degree.number == 7)
    sign = SPOKEN_ACCIDENTALS[max(-3, min(3, alteration))]
    return f"{sign} {_SPOKEN_NUMBERS[degree.number]}"

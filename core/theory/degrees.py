"""Where a note or a chord stands in a key: scale degrees and Roman numerals, for teaching by ear.

Degrees are counted in the key's own scale, so that the third of E minor is 3, not ♭3. Roman numerals are written
as harmony books write them: capital for a major third, small for a minor one, ° ø + for diminished, half-diminished
and augmented, figures 6 64 65 43 42 for inversions. In minor, a capital VI or VII and a major or augmented one stand
on the natural degree, a small vi or vii on the raised one, as music21 reads them by default.
"""

from __future__ import annotations

from typing import Final

from core.song.chord import SUSPENDED, ChordSymbol, Quality
from core.song.key import Key, Mode
from core.song.pitch import LETTERS, NoteName, Pitch
from core.theory.chord_tones import chord_degrees, chord_tones
from core.theory.chord_writing import show_chord

_FOURTH: Final = 5
NUMERALS: Final = ("I", "II", "III", "IV", "V", "VI", "VII")
_SMALL: Final = frozenset(
    {Quality.MINOR, Quality.DIMINISHED, Quality.HALF_DIMINISHED, Quality.MINOR_MAJOR},
)
_SIGNS: Final = {Quality.DIMINISHED: "°", Quality.HALF_DIMINISHED: "ø", Quality.AUGMENTED: "+"}
_TRIAD_FIGURES: Final = {3: "6", 5: "64"}
_SEVENTH_FIGURES: Final = {3: "65", 5: "43", 7: "42"}


def scale_degree(note: Pitch | NoteName, key: Key) -> str:
    """A note's degree in a key's scale, 1 … 7, with ♯ or ♭ signs where the key alters it: ``5``, ``♯4``, ``♭7``."""
    number, alteration = place_in_scale(note.name if isinstance(note, Pitch) else note, key)
    return _signs(alteration) + str(number)


def place_in_scale(name: NoteName, key: Key) -> tuple[int, int]:
    """A name's degree in a key's scale, 1 … 7, and the semitones by which it is altered against it."""
    number = (LETTERS.index(name.letter) - LETTERS.index(key.tonic.letter)) % 7
    return number + 1, name.alteration - key.scale[number].alteration


def _signs(alteration: int) -> str:
    return "♯" * alteration if alteration > 0 else "♭" * -alteration


def roman(symbol: ChordSymbol, key: Key) -> str:
    """The Roman numeral of a chord in a key: ``ii7``, ``V65``, ``♭VI``, ``viiø7``; ``N.C.`` for no chord.

    A bass that is not a chord tone follows after a stroke as a scale degree. What a numeral has no common sign for
    (added, altered and omitted tones) follows as in the chord symbol.
    """
    if symbol.is_silent:
        return show_chord(symbol)
    number, alteration = place_in_scale(symbol.root, key)
    small = symbol.quality in _SMALL
    if key.mode is Mode.MINOR and number in (6, 7) and small:
        alteration -= 1
    numeral = NUMERALS[number - 1]
    text = _signs(alteration) + (numeral.lower() if small else numeral) + _SIGNS.get(symbol.quality, "")
    figure, bass = _figure(symbol, key)
    return text + figure + _rest(symbol) + bass


def roman_before(symbol: ChordSymbol, after: ChordSymbol | None, key: Key) -> str:
    """The Roman numeral of a chord that another one follows: a dominant of that one is written as such, ``V7/V``.

    A major chord or dominant seventh that is foreign to the key and whose root falls a fifth to a chord of the key,
    or a diminished chord whose root rises a semitone to one, is borrowed from that chord's own key (common practice
    of harmony books). The tonic has its dominant in the key itself.
    """
    plain = roman(symbol, key)
    if after is None or symbol.is_silent or after.is_silent or after.root.pitch_class == key.tonic.pitch_class:
        return plain
    scale = {degree.pitch_class for degree in key.scale}
    tones = {tone.pitch_class for tone in chord_tones(symbol)}
    rises = (after.root.pitch_class - symbol.root.pitch_class) % 12
    is_dominant = symbol.quality in (Quality.MAJOR, Quality.DOMINANT) and rises == _FOURTH
    is_leading = symbol.quality in (Quality.DIMINISHED, Quality.HALF_DIMINISHED) and rises == 1
    if tones <= scale or after.root.pitch_class not in scale or not (is_dominant or is_leading):
        return plain
    number, alteration = place_in_scale(after.root, key)
    if alteration or after.quality not in (Quality.MAJOR, Quality.MINOR, Quality.DOMINANT, Quality.MINOR_MAJOR):
        return plain
    target = NUMERALS[number - 1].lower() if after.quality in _SMALL else NUMERALS[number - 1]
    there = Key(after.root, Mode.MINOR if after.quality in _SMALL else Mode.MAJOR)
    return f"{roman(symbol, there)}/{target}"


def _figure(symbol: ChordSymbol, key: Key) -> tuple[str, str]:
    """The figure of an inversion or extension, and a foreign bass."""
    seventh = symbol.extension >= 7
    major = "maj" if symbol.extension >= 7 and symbol.quality in (Quality.MAJOR, Quality.MINOR_MAJOR) else ""
    upright = "add6" if symbol.extension == 6 else (major + str(symbol.extension) if seventh else "")
    if symbol.quality in SUSPENDED and (7, 1) in {(d.number, d.alteration) for d in symbol.alterations}:
        upright = "maj" + upright
    if symbol.bass is None:
        return upright, ""
    tones = dict(zip(chord_tones(symbol), chord_degrees(symbol), strict=False))
    degree = tones.get(symbol.bass)
    figures = _SEVENTH_FIGURES if symbol.extension == 7 else _TRIAD_FIGURES if symbol.extension == 5 else {}
    if degree is not None and degree.number in figures:
        return major + figures[degree.number], ""
    return upright, "/" + scale_degree(symbol.bass, key)


def _rest(symbol: ChordSymbol) -> str:
    """Suspension, alterations, added and omitted tones as a chord symbol shows them."""
    suspension = {Quality.SUSPENDED_SECOND: "sus2", Quality.SUSPENDED_FOURTH: "sus4", Quality.POWER: "5"}
    signs = "".join(
        _signs(degree.alteration) + str(degree.number) for degree in symbol.alterations if degree.number != 7
    )
    added = "".join(
        "add" + _signs(degree.alteration - (degree.number == 7)) + str(degree.number) for degree in symbol.added
    )
    omitted = "".join(f"no{number}" for number in symbol.omitted)
    return suspension.get(symbol.quality, "") + (f"({signs})" if signs else "") + added + omitted

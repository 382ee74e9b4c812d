"""Chord symbols as MusicXML has them: a kind, and degrees added, altered or taken away.

Kinds and the meaning of degrees are those of MusicXML 4.0 (W3C, elements ``harmony``, ``kind``, ``degree``): a
degree that is added counts against the dominant's scale, so that an added 7 without alteration is minor.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Final

from core.song.chord import NO_CHORD, ChordSymbol, Degree, Quality
from core.song.errors import ChordSymbolError, DomainError
from core.song.pitch import NoteName
from core.song.wording import say
from core.theory.chord_symbols import parse_chord, write_chord
from core.theory.chord_tones import chord_degrees, chord_tones, semitones
from core.theory.musicxml_kinds import KINDS

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

_KIND_OF: Final = {chord: kind for kind, chord in KINDS.items()}
_WITH_SEVENTH: Final = {
    (Quality.MAJOR, 0): Quality.DOMINANT,
    (Quality.MAJOR, 1): Quality.MAJOR,
    (Quality.MINOR, 0): Quality.MINOR,
    (Quality.MINOR, 1): Quality.MINOR_MAJOR,
    (Quality.AUGMENTED, 0): Quality.AUGMENTED,
    (Quality.DIMINISHED, -1): Quality.DIMINISHED,
    (Quality.DIMINISHED, 0): Quality.HALF_DIMINISHED,
    (Quality.SUSPENDED_SECOND, 0): Quality.SUSPENDED_SECOND,
    (Quality.SUSPENDED_FOURTH, 0): Quality.SUSPENDED_FOURTH,
}
"""What a triad becomes when a seventh (minor: 0) is added to it."""

DegreeSign = tuple[int, int, str]
"""A degree's number, its alteration, and `add`, `alter` or `subtract`."""


def read_harmony(harmony: Element) -> ChordSymbol:
    """The chord symbol of a ``harmony`` element.

    Raises ChordSymbolError for a chord without a root (a Roman numeral, say) or of a kind that names no tones.
    """
    kind = harmony.find("kind")
    if kind is None:
        raise ChordSymbolError("", 0, say("a kind of chord is wanted"))
    value = (kind.text or "").strip()
    text = kind.get("text")
    degrees = tuple(
        (
            int(float(degree.findtext("degree-value", "1"))),
            round(float(degree.findtext("degree-alter", "0") or "0")),
            (degree.findtext("degree-type") or "add").strip(),
        )
        for degree in harmony.iterfind("degree")
    )
    root, bass = _name_in(harmony, "root"), _name_in(harmony, "bass")
    inversion = int(harmony.findtext("inversion") or "0")
    return _symbol(root, value, text, degrees, bass, inversion)


def _name_in(harmony: Element, part: str) -> NoteName | None:
    step = harmony.findtext(f"{part}/{part}-step")
    if step is None:
        return None
    return NoteName(step.strip().upper(), round(float(harmony.findtext(f"{part}/{part}-alter") or "0")))


@lru_cache(maxsize=1024)
def _symbol(
    root: NoteName | None,
    kind: str,
    text: str | None,
    degrees: tuple[DegreeSign, ...],
    bass: NoteName | None,
    inversion: int,
) -> ChordSymbol:
    if kind == "none":
        return NO_CHORD
    if root is None:
        raise ChordSymbolError(text or kind, 0, say("a root is wanted"))
    named = _as_named(root, text, bass)
    if kind not in KINDS:
        if named is None:
            raise ChordSymbolError(
                f"{root.plain} {kind}", len(root.plain) + 1, say("a kind that names tones is wanted")
            )
        return named
    built = _built(root, kind, degrees, bass)
    if inversion and bass is None:
        tones = chord_tones(built)
        built = _built(root, kind, degrees, tones[min(inversion, len(tones) - 1)])
    if named is not None and named.bass == built.bass and semitones(named) == semitones(built):
        # The same tones under the name that the source writes.
        return named
    return built


def _as_named(root: NoteName, text: str | None, bass: NoteName | None) -> ChordSymbol | None:
    if text is None:
        return None
    try:
        return parse_chord(root.plain + text.strip() + (f"/{bass.plain}" if bass else ""))
    except (ChordSymbolError, DomainError):
        return None


def _built(root: NoteName, kind: str, degrees: tuple[DegreeSign, ...], bass: NoteName | None) -> ChordSymbol:
    quality, extension = KINDS[kind]
    added, altered, omitted = [], [], []
    for number, alteration, sign in sorted(degrees):
        if sign == "subtract":
            omitted.append(number)
        elif number == 7 and extension == 5 and (quality, alteration) in _WITH_SEVENTH:
            quality, extension = _WITH_SEVENTH[quality, alteration], 7
        elif sign == "alter" or (alteration and (extension >= 7 or number == 5)):
            altered.append(Degree(number, alteration))
        else:
            added.append(Degree(number, alteration))
    return ChordSymbol(root, quality, extension, tuple(altered), tuple(added), tuple(omitted), bass)


def kind_and_degrees(symbol: ChordSymbol) -> tuple[str, str, tuple[DegreeSign, ...]]:
    """The kind, the text after the root, and the degrees that MusicXML writes for a chord symbol."""
    if symbol.is_silent:
        return "none", "N.C.", ()
    base, signs = _base(symbol)
    present = {degree.number for degree in chord_degrees(ChordSymbol(symbol.root, *KINDS[base]))}
    for degree in symbol.alterations:
        sign = "alter" if degree.number in present else "add"
        present.discard(degree.number)
        signs.append((degree.number, degree.alteration, sign))
    signs.extend((degree.number, degree.alteration, "add") for degree in symbol.added)
    signs.extend((number, 0, "subtract") for number in symbol.omitted)
    plain = write_chord(symbol).removeprefix(symbol.root.plain)
    suffix = plain.rpartition("/")[0] if symbol.bass is not None else plain
    return base, suffix, tuple(signs)


def _base(symbol: ChordSymbol) -> tuple[str, list[DegreeSign]]:
    """The nearest kind, and the degrees of the stack that it lacks."""
    if (symbol.quality, symbol.extension) in _KIND_OF:
        return _KIND_OF[symbol.quality, symbol.extension], []
    for extension in (7, 5):
        kind = _KIND_OF.get((symbol.quality, extension))
        if kind is not None:
            break
    else:
        raise DomainError(say("a chord's quality"), symbol.quality.value, say("one that MusicXML has a kind for"))
    wanted = chord_degrees(ChordSymbol(symbol.root, symbol.quality, symbol.extension))
    present = set(chord_degrees(ChordSymbol(symbol.root, *KINDS[kind])))
    return kind, [(degree.number, degree.alteration, "add") for degree in wanted if degree not in present]

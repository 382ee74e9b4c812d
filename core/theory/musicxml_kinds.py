"""Chord symbols as MusicXML writes them, both ways: a kind, and degrees added, altered or subtracted.

The kinds are those of W3C MusicXML 4.0 (kind-value, degree-value, degree-alter, degree-type). There, an altered
degree is counted from the degree that the kind has; an added one from a dominant chord, whose seventh is minor,
which is how `core.song.chord.Degree` counts too.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from core.song.chord import NO_CHORD, ChordSymbol, Degree, Quality
from core.song.errors import ChordSymbolError, DomainError
from core.song.pitch import NoteName
from core.song.wording import say
from core.theory.chord_building import build_chord
from core.theory.chord_reading import read_chord
from core.theory.chord_tones import chord_degrees
from core.theory.chord_writing import write_chord
from core.theory.functional_chords import functional_chord

KINDS: Final[dict[str, tuple[Quality, int]]] = {
    "major": (Quality.MAJOR, 5),
    "minor": (Quality.MINOR, 5),
    "augmented": (Quality.AUGMENTED, 5),
    "diminished": (Quality.DIMINISHED, 5),
    "dominant": (Quality.DOMINANT, 7),
    "major-seventh": (Quality.MAJOR, 7),
    "minor-seventh": (Quality.MINOR, 7),
    "diminished-seventh": (Quality.DIMINISHED, 7),
    "augmented-seventh": (Quality.AUGMENTED, 7),
    "half-diminished": (Quality.HALF_DIMINISHED, 7),
    "major-minor": (Quality.MINOR_MAJOR, 7),
    "major-sixth": (Quality.MAJOR, 6),
    "minor-sixth": (Quality.MINOR, 6),
    "dominant-ninth": (Quality.DOMINANT, 9),
    "major-ninth": (Quality.MAJOR, 9),
    "minor-ninth": (Quality.MINOR, 9),
    "dominant-11th": (Quality.DOMINANT, 11),
    "major-11th": (Quality.MAJOR, 11),
    "minor-11th": (Quality.MINOR, 11),
    "dominant-13th": (Quality.DOMINANT, 13),
    "major-13th": (Quality.MAJOR, 13),
    "minor-13th": (Quality.MINOR, 13),
    "suspended-second": (Quality.SUSPENDED_SECOND, 5),
    "suspended-fourth": (Quality.SUSPENDED_FOURTH, 5),
    "power": (Quality.POWER, 5),
    "none": (Quality.SILENT, 5),
}
"""The kinds that name tones, and 'none'."""

_ALSO_SEEN: Final = {
    "dominant-seventh": "dominant",
    "minor-major": "major-minor",
    "half-diminished-seventh": "half-diminished",
    "dominant-eleventh": "dominant-11th",
    "dominant-thirteenth": "dominant-13th",
}
"""Kinds outside the standard that files are seen with."""


class KindDegree(Struct, frozen=True):
    """A degree element: its value, its alteration in semitones, and ``add``, ``alter`` or ``subtract``."""

    value: int
    alter: int
    type: str


class KindOfChord(Struct, frozen=True):
    """What a harmony element says of a chord beside its root and bass.

    Attributes:
        kind: the kind-value.
        text: the text attribute, as it is to be printed after the root.
        degrees: degree elements in order.
    """

    kind: str
    text: str = ""
    degrees: tuple[KindDegree, ...] = ()


def from_musicxml_kind(
    kind: str,
    root: NoteName | None,
    degrees: Sequence[KindDegree] = (),
    bass: NoteName | None = None,
    text: str = "",
) -> ChordSymbol:
    """The chord symbol that a harmony element writes.

    Args:
        kind: the kind-value; an unknown one, and ``other`` without degrees, is read from the text instead.
            Where the text names a chord of the same tones it decides between names (7♯5 or aug7).
        root: the root; may be None for ``none`` only.
        degrees: the degree elements in order.
        bass: the bass, or None.
        text: the kind's text attribute.

    Raises ChordSymbolError for an unknown kind whose text is no chord, or a degree that makes no chord.
    """
    kind = _ALSO_SEEN.get(kind.strip(), kind.strip())
    if kind == "none":
        return NO_CHORD
    if root is None:
        raise ChordSymbolError(text or kind, 0, say("a root is expected"))
    written = _read_text(root, text, bass)
    if kind in KINDS:
        base = ChordSymbol(root, *KINDS[kind], bass=bass)
    elif kind == "pedal":
        base = ChordSymbol(root, Quality.POWER, omitted=(5,), bass=bass)
    elif (functional := functional_chord(kind, root)) is not None:
        base = functional if bass is None else replace(functional, bass=bass)
    elif kind == "other" and degrees:
        base = build_chord(root, {Degree(1)}, bass)
    elif written is not None:
        return written
    else:
        fault = say("“{kind}” is no kind that names tones", kind=kind)
        raise ChordSymbolError(f"{root.plain} {kind}", len(root.plain) + 1, fault)
    if degrees:
        base = _with_degrees(base.root, set(chord_degrees(base)), degrees, base.bass, kind)
    if written is not None and written.root == base.root and set(chord_degrees(written)) == set(chord_degrees(base)):
        return written
    return base


def _read_text(root: NoteName, text: str, bass: NoteName | None) -> ChordSymbol | None:
    """The chord that the printed text after the root spells out, or None where it spells none."""
    if not text:
        return None
    try:
        written = read_chord(root.plain + text)
    except ChordSymbolError:
        return None
    return written if bass is None else replace(written, bass=bass)


def _with_degrees(
    root: NoteName, sounding: set[Degree], degrees: Sequence[KindDegree], bass: NoteName | None, kind: str
) -> ChordSymbol:
    for degree in degrees:
        present = {other.number: other for other in sorted(sounding)}.get(degree.value)
        try:
            if degree.type == "subtract":
                sounding = {other for other in sounding if other.number != degree.value}
            elif degree.type == "alter" and present is not None:
                sounding.discard(present)
                sounding.add(Degree(degree.value, present.alteration + degree.alter))
            elif degree.type in ("add", "alter"):
                sounding.add(Degree(degree.value, degree.alter))
            else:
                fault = say("“{change}” is no way to change a degree", change=degree.type)
                raise ChordSymbolError(f"{root.plain} {kind}", 0, fault)
        except DomainError as error:
            fault = say("the degree {degree} is not understood", degree=degree.value)
            raise ChordSymbolError(f"{root.plain} {kind}", 0, fault) from error
    return build_chord(root, sounding, bass)


def to_musicxml_kind(symbol: ChordSymbol) -> KindOfChord:
    """The kind, text and degrees that write a chord symbol in MusicXML; the tones are the same both ways."""
    if symbol.is_silent:
        return KindOfChord("none", "N.C.")
    kind, base = _nearest_kind(symbol)
    stack = {degree.number: degree for degree in chord_degrees(base)}
    wanted = chord_degrees(symbol)
    numbers = {degree.number for degree in wanted}
    degrees: list[KindDegree] = []
    for degree in wanted:
        present = stack.get(degree.number)
        if degree in stack.values():
            continue
        if present is not None and present not in wanted:
            degrees.append(KindDegree(degree.number, degree.alteration - present.alteration, "alter"))
            del stack[degree.number]
        else:
            degrees.append(KindDegree(degree.number, degree.alteration, "add"))
    degrees += [KindDegree(number, 0, "subtract") for number in stack if number not in numbers]
    plain = ChordSymbol(symbol.root, symbol.quality, symbol.extension, symbol.alterations, symbol.added, symbol.omitted)
    return KindOfChord(kind, write_chord(plain)[len(symbol.root.plain) :], tuple(degrees))


def _nearest_kind(symbol: ChordSymbol) -> tuple[str, ChordSymbol]:
    """The kind of the symbol's family with the highest extension that is not above the symbol's own."""
    families = [symbol.quality]
    if symbol.quality is Quality.AUGMENTED:
        families.append(Quality.DOMINANT if symbol.extension > 7 else Quality.MAJOR)
    offers = [
        (extension, -families.index(quality), kind)
        for kind, (quality, extension) in KINDS.items()
        if quality in families and extension <= symbol.extension and not (extension == 6 and symbol.extension > 6)
    ]
    _, _, kind = max(offers)
    return kind, ChordSymbol(symbol.root, *KINDS[kind])

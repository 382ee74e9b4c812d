"""Chord symbols, and chords placed in a part.

A symbol says what a chord is made of; how its tones are spelled, read and voiced is theory
(`core.theory.chord_tones`, `core.theory.chord_symbols`, `core.theory.voicing`).
"""

from __future__ import annotations

from enum import Enum
from typing import Final

from msgspec import Struct
from msgspec.structs import force_setattr

from core.song.errors import DomainError
from core.song.note import Extra
from core.song.pitch import NoteName
from core.song.wording import say, to_say


class Quality(Enum):
    """The family of a chord: its triad, and how its seventh is taken where it has one."""

    MAJOR = "major"
    """Major third, perfect fifth; a seventh is major (Cmaj7)."""
    MINOR = "minor"
    """Minor third, perfect fifth; a seventh is minor (Cm7)."""
    DOMINANT = "dominant"
    """Major third, perfect fifth, minor seventh (C7); has at least a seventh."""
    AUGMENTED = "augmented"
    """Major third, augmented fifth; a seventh is minor (C+7)."""
    DIMINISHED = "diminished"
    """Minor third, diminished fifth; a seventh is diminished (C°7)."""
    HALF_DIMINISHED = "half-diminished"
    """Minor third, diminished fifth, minor seventh (Cø); has at least a seventh."""
    MINOR_MAJOR = "minor-major"
    """Minor third, perfect fifth, major seventh (CmM7); has at least a seventh."""
    SUSPENDED_SECOND = "suspended-second"
    """Second in the third's place, perfect fifth; a seventh is minor (C7sus2)."""
    SUSPENDED_FOURTH = "suspended-fourth"
    """Fourth in the third's place, perfect fifth; a seventh is minor (C7sus4)."""
    POWER = "power"
    """Root and perfect fifth alone (C5)."""
    SILENT = "none"
    """No chord (N.C.): the left hand rests."""


SEVENTH_NEEDED: Final = {
    Quality.DOMINANT: to_say("7 or more for a dominant chord"),
    Quality.HALF_DIMINISHED: to_say("7 or more for a half-diminished chord"),
    Quality.MINOR_MAJOR: to_say("7 or more for a minor-major chord"),
}
"""The families that have at least a seventh, and how that is said."""
NEEDS_SEVENTH: Final = frozenset(SEVENTH_NEEDED)
EXTENSIONS: Final = (5, 6, 7, 9, 11, 13)
SUSPENDED: Final = frozenset({Quality.SUSPENDED_SECOND, Quality.SUSPENDED_FOURTH})
ALTERABLE: Final = (2, 3, 4, 5, 6, 9, 11, 13)
"""Degrees that may be altered; the seventh follows from the quality."""


class Degree(Struct, frozen=True, order=True):
    """A chord degree with its alteration against the major scale's degree (9 with −1 is a flat ninth).

    Attributes:
        number: 1 … 13.
        alteration: −2 … +2. A seventh with 0 is minor, as chord symbols take it (common practice).
    """

    number: int
    alteration: int = 0

    def __post_init__(self) -> None:
        if not 1 <= self.number <= 13:
            raise DomainError(say("a chord degree"), self.number, say("a whole number from 1 to 13"))
        if not -2 <= self.alteration <= 2:
            raise DomainError(
                say("the alteration of a chord degree"), self.alteration, say("a whole number from -2 to 2")
            )


FLAT_FIFTH: Final = Degree(5, -1)


class ChordSymbol(Struct, frozen=True):
    """A chord's name, taken apart.

    Equal chords are equal objects: alterations, added and omitted tones are kept sorted and once each; a minor
    chord with a seventh and a flat fifth is half-diminished, and a half-diminished one with another fifth is minor;
    a bass on the root is no slash chord; 'no chord' has nothing beside it.

    Attributes:
        root: the root's name; of no meaning where `quality` is SILENT.
        quality: the family.
        extension: 5 for a triad, 6 for an added sixth, 7, 9, 11 or 13 for stacked thirds up to there.
        alterations: degrees that replace the unaltered one, or join the chord where there is none (7♯9, 7♭5);
            of 2, 3, 4, 5, 6, 9, 11, 13 and never 0. A suspended chord's seventh may be raised to a major one.
        added: degrees beside the stack (add9; 6/9 is a sixth with an added ninth).
        omitted: degree numbers left out (no3).
        bass: the lowest note where it is not the root (slash chord), or None.
    """

    root: NoteName
    quality: Quality = Quality.MAJOR
    extension: int = 5
    alterations: tuple[Degree, ...] = ()
    added: tuple[Degree, ...] = ()
    omitted: tuple[int, ...] = ()
    bass: NoteName | None = None

    def __post_init__(self) -> None:
        if self.extension not in EXTENSIONS:
            raise DomainError(say("a chord's extension"), self.extension, say("5, 6, 7, 9, 11 or 13"))
        if self.quality in NEEDS_SEVENTH and self.extension < 7:
            raise DomainError(say("a chord's extension"), self.extension, say(SEVENTH_NEEDED[self.quality]))
        if self.quality is Quality.POWER and self.extension != 5:
            raise DomainError(say("a power chord's extension"), self.extension, "5")
        for degree in self.alterations:
            major_seventh = degree == Degree(7, 1) and self.quality in SUSPENDED and self.extension >= 7
            if (degree.number not in ALTERABLE or degree.alteration == 0) and not major_seventh:
                expected = say("a raised or lowered 2, 3, 4, 5, 6, 9, 11 or 13")
                raise DomainError(say("an altered degree of a chord"), degree, expected)
        if any(not 1 <= number <= 13 for number in self.omitted):
            raise DomainError(say("an omitted degree of a chord"), self.omitted, say("a whole number from 1 to 13"))
        self._normalise()

    def _normalise(self) -> None:
        alterations = set(self.alterations)
        if self.quality in (Quality.MINOR, Quality.HALF_DIMINISHED) and self.extension >= 7:
            fifths = {degree for degree in alterations if degree.number == 5}
            half = fifths == {FLAT_FIFTH} or (self.quality is Quality.HALF_DIMINISHED and not fifths)
            force_setattr(self, "quality", Quality.HALF_DIMINISHED if half else Quality.MINOR)
            if half:
                alterations.discard(FLAT_FIFTH)
        if self.bass == self.root:
            force_setattr(self, "bass", None)
        force_setattr(self, "alterations", tuple(sorted(alterations)))
        force_setattr(self, "added", tuple(sorted(set(self.added))))
        force_setattr(self, "omitted", tuple(sorted(set(self.omitted))))
        if self.quality is Quality.SILENT:
            force_setattr(self, "root", NoteName("C"))
            force_setattr(self, "extension", 5)
            force_setattr(self, "bass", None)
            for field in ("alterations", "added", "omitted"):
                force_setattr(self, field, ())

    @property
    def is_silent(self) -> bool:
        """Whether this is 'no chord'."""
        return self.quality is Quality.SILENT


NO_CHORD: Final = ChordSymbol(NoteName("C"), Quality.SILENT)

ROOT_POSITION: Final = "root"
"""A chord taken from its root up, or from its written bass: what beginners are taught first."""
NEAREST: Final = "nearest"
"""A chord taken in the inversion that moves the hand least from the chord before."""
VOICING_STYLES: Final = (ROOT_POSITION, NEAREST)


class Chord(Struct, frozen=True):
    """A chord placed in a part.

    Attributes:
        onset: ticks from the start of the part that owns it, 0 or more.
        duration: ticks, more than 0; never past the part's end (a cut divides it).
        symbol: what it is.
        continued: whether it is the second half of a chord that a cut divided.
        extra: unknown fields of a lesson file, kept.
        voicing: ``root`` or ``nearest`` for this chord alone, or None for what its part does.
        given: False where the chord was suggested from the melody, not stated by the source or the teacher.
    """

    onset: int
    duration: int
    symbol: ChordSymbol
    continued: bool = False
    extra: Extra = ()
    voicing: str | None = None
    given: bool = True

    def __post_init__(self) -> None:
        if self.onset < 0:
            raise DomainError(say("a chord's onset"), self.onset, say("0 or more ticks from its part's start"))
        if self.duration <= 0:
            raise DomainError(say("a chord's duration"), self.duration, say("more than 0 ticks"))
        if self.voicing is not None and self.voicing not in VOICING_STYLES:
            raise DomainError(say("a chord's voicing"), self.voicing, say("root or nearest"))

    @property
    def end(self) -> int:
        """Tick at which the chord ends, from its part's start."""
        return self.onset + self.duration

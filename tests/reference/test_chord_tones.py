"""Chord tones against three outside sources.

W3C: the intervals that the W3C MusicXML 4.0 documentation of kind-value names for each kind; the semitones are worked
out from them. music21: `harmony.ChordSymbol`. pychord: `Chord.components`, compared on the keyboard only, since it
does not spell by theory (it writes the seventh of C diminished as A).
"""

from __future__ import annotations

import pytest

from core.song.chord import ChordSymbol
from core.song.pitch import NoteName
from core.theory.chord_symbols import write_chord
from core.theory.chord_tones import chord_tones, semitones
from core.theory.musicxml_kinds import KINDS

W3C_INTERVALS = {
    "major": "major third, perfect fifth",
    "minor": "minor third, perfect fifth",
    "augmented": "major third, augmented fifth",
    "diminished": "minor third, diminished fifth",
    "dominant": "major, minor seventh",
    "major-seventh": "major, major seventh",
    "minor-seventh": "minor, minor seventh",
    "diminished-seventh": "diminished, diminished seventh",
    "augmented-seventh": "augmented, minor seventh",
    "half-diminished": "diminished, minor seventh",
    "major-minor": "minor, major seventh",
    "major-sixth": "major, major sixth",
    "minor-sixth": "minor, major sixth",
    "dominant-ninth": "dominant, major ninth",
    "major-ninth": "major-seventh, major ninth",
    "minor-ninth": "minor-seventh, major ninth",
    "dominant-11th": "dominant-ninth, perfect eleventh",
    "major-11th": "major-ninth, perfect eleventh",
    "minor-11th": "minor-ninth, perfect eleventh",
    "dominant-13th": "dominant-11th, major thirteenth",
    "major-13th": "major-11th, major thirteenth",
    "minor-13th": "minor-11th, major thirteenth",
    "suspended-second": "major second, perfect fifth",
    "suspended-fourth": "perfect fourth, perfect fifth",
    "power": "perfect fifth",
}
"""Each kind as the W3C documents it: intervals over the root, or a simpler kind and what is added to it."""

INTERVALS = {
    "major second": (1, 2),
    "minor third": (2, 3),
    "major third": (2, 4),
    "perfect fourth": (3, 5),
    "diminished fifth": (4, 6),
    "perfect fifth": (4, 7),
    "augmented fifth": (4, 8),
    "major sixth": (5, 9),
    "diminished seventh": (6, 9),
    "minor seventh": (6, 10),
    "major seventh": (6, 11),
    "major ninth": (8, 14),
    "perfect eleventh": (10, 17),
    "major thirteenth": (12, 21),
}
"""Letters and semitones above the root (common practice)."""

ROOTS = tuple(NoteName.at_fifths(fifths) for fifths in range(-7, 8))
"""C♭ … C♯, the tonics of the fifteen major signatures."""

LETTERS = "CDEFGAB"
WHITE_KEYS = (0, 2, 4, 5, 7, 9, 11)


def intervals_of(kind: str) -> list[tuple[int, int]]:
    found: list[tuple[int, int]] = []
    for word in W3C_INTERVALS[kind].split(", "):
        found += intervals_of(word) if word in W3C_INTERVALS else [INTERVALS[word]]
    return found


def spelled(root: NoteName, steps: int, height: int) -> str:
    """The name of a tone by counting letters and keys, apart from the code under test."""
    index = LETTERS.index(root.letter) + steps
    natural = WHITE_KEYS[index % 7] + 12 * (index // 7)
    alteration = WHITE_KEYS[LETTERS.index(root.letter)] + root.alteration + height - natural
    return LETTERS[index % 7] + ("#" * alteration if alteration > 0 else "b" * -alteration)


def test_the_table_has_every_kind_that_names_tones() -> None:
    assert set(KINDS) - {"none"} == set(W3C_INTERVALS)


@pytest.mark.parametrize("kind", W3C_INTERVALS)
def test_tones_are_those_of_the_w3c_intervals_on_fifteen_roots(kind: str) -> None:
    expected = intervals_of(kind)
    for root in ROOTS:
        symbol = ChordSymbol(root, *KINDS[kind])
        assert semitones(symbol) == (0, *(height for _, height in expected))
        assert [name.plain for name in chord_tones(symbol)] == [
            root.plain,
            *(spelled(root, steps, height) for steps, height in expected),
        ]


@pytest.mark.parametrize("kind", W3C_INTERVALS)
def test_tones_are_spelled_as_music21_spells_them_on_fifteen_roots(kind: str) -> None:
    from music21 import harmony

    for root in ROOTS:
        theirs = harmony.ChordSymbol(root=root.plain.replace("b", "-"), kind=kind)
        names = [pitch.name.replace("-", "b") for pitch in theirs.pitches]
        assert sorted(names) == sorted(name.plain for name in chord_tones(ChordSymbol(root, *KINDS[kind])))


@pytest.mark.parametrize("kind", W3C_INTERVALS)
def test_an_inversion_has_the_tones_that_music21_gives_it(kind: str) -> None:
    """Every tone in the bass, on the roots with the most flats and sharps."""
    from music21 import harmony

    for root in (ROOTS[0], ROOTS[-1]):
        for bass in chord_tones(ChordSymbol(root, *KINDS[kind]))[1:]:
            inverted = ChordSymbol(root, *KINDS[kind], bass=bass)
            theirs = harmony.ChordSymbol(
                root=root.plain.replace("b", "-"), kind=kind, bass=bass.plain.replace("b", "-")
            )
            names = {pitch.name.replace("-", "b") for pitch in theirs.pitches}
            assert names == {name.plain for name in chord_tones(inverted)}


def test_keys_are_those_of_pychord_where_it_knows_the_chord() -> None:
    from pychord import Chord

    names = {"diminished": "dim", "augmented-seventh": "7#5", "half-diminished": "m7-5", "major-minor": "mM7"}
    unknown: set[str] = set()
    for kind in W3C_INTERVALS:
        suffix = names.get(kind, write_chord(ChordSymbol(NoteName("C"), *KINDS[kind]))[1:].replace("/", ""))
        for root in ROOTS:
            try:
                theirs = Chord(root.plain + suffix)
            except ValueError:
                unknown.add(kind)
                continue
            keys = {note % 12 for note in theirs.components(visible=False)}
            assert keys == {name.pitch_class for name in chord_tones(ChordSymbol(root, *KINDS[kind]))}, kind
    assert unknown == {"major-11th", "minor-13th"}

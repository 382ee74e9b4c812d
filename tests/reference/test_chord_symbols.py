"""Chord symbols against what others write.

music21: every harmony of demos/ComprehensiveChordSymbolsTestFile in its installed corpus, read both from its printed
text and from its MusicXML kind, against music21's own pitches. pychord: every quality in its dictionary.
"""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from core.song.pitch import NoteName
from core.theory.chord_symbols import parse_chord
from core.theory.chord_tones import chord_tones
from core.theory.musicxml_kinds import KindDegree, from_musicxml_kind

FOLLOWING_THE_FILE = {
    # music21 gives the seventh, since the file holds two degrees in one element and music21 reads the first alone;
    # the printed text and the file leave out both.
    "C11omit3,7": {"C", "G", "D", "F"},
    # music21 gives C D♭ E G♭, which is no Neapolitan: that is the major triad on the lowered second degree.
    "CN6": {"Db", "F", "Ab"},
    # music21 does not know the kind as the file writes it, in small letters, and gives the root alone; the W3C gives
    # an augmented fourth, sixth and ninth.
    "FTristan": {"F", "B", "D#", "G#"},
    # music21 reads the kind, which the file leaves empty for this one chord, as the root alone.
    "DmMaj7": {"D", "F", "A", "C#"},
}
"""Where music21 is not followed, and why."""


def harmonies() -> list[ElementTree.Element]:
    import music21

    place = Path(music21.__file__).parent / "corpus" / "demos" / "ComprehensiveChordSymbolsTestFile.mxl"
    with zipfile.ZipFile(place) as packed:
        name = next(name for name in packed.namelist() if name.endswith(".xml") and "META" not in name)
        return list(ElementTree.fromstring(packed.read(name)).iter("harmony"))


def name_of(harmony: ElementTree.Element, tag: str) -> NoteName | None:
    step = harmony.findtext(f"{tag}/{tag}-step")
    if step is None:
        return None
    return NoteName(step, int(harmony.findtext(f"{tag}/{tag}-alter") or 0))


def degrees_of(harmony: ElementTree.Element) -> Iterator[KindDegree]:
    for degree in harmony.iter("degree"):
        values = [int(value.text or 0) for value in degree.iter("degree-value")]
        for value in values:
            alter = int(degree.findtext("degree-alter") or 0)
            yield KindDegree(value, alter, degree.findtext("degree-type") or "")


def test_every_chord_of_the_comprehensive_file_is_read_as_music21_reads_it() -> None:
    from music21 import corpus
    from music21 import harmony as music21_harmony

    elements = harmonies()
    theirs = list(
        corpus.parse("demos/ComprehensiveChordSymbolsTestFile").recurse().getElementsByClass(music21_harmony.Harmony)
    )
    assert len(elements) == len(theirs) == 57
    for element, chord in zip(elements, theirs, strict=True):
        root, bass = name_of(element, "root"), name_of(element, "bass")
        kind = element.find("kind")
        assert root is not None
        assert kind is not None
        text = kind.get("text", "")
        printed = root.plain + text + (f"/{bass.plain}" if bass else "")
        expected = FOLLOWING_THE_FILE.get(
            root.plain + text, {pitch.name.replace("-", "b") for pitch in chord.pitches} - {bass and bass.plain}
        )
        read = parse_chord(printed)
        named = from_musicxml_kind(kind.text or "", root, tuple(degrees_of(element)), bass, text)
        for symbol in (read, named):
            tones = {name.plain for name in chord_tones(symbol)}
            assert tones - {bass and bass.plain} == expected - {bass and bass.plain}, printed
            assert bass is None or symbol.bass in (None, bass)


PYCHORD_DIFFERS = {
    # pychord puts an eleventh in this one seventh chord with a flat ninth and a flat thirteenth, and in no other
    # altered seventh chord; a seventh chord has no eleventh (common practice).
    "7b9b13": {0, 1, 4, 7, 8, 10},
}


def qualities() -> list[tuple[str, tuple[str, ...]]]:
    from pychord.constants.qualities import DEFAULT_QUALITIES

    return list(DEFAULT_QUALITIES)


@pytest.mark.parametrize(("name", "degrees"), qualities())
def test_every_quality_of_pychords_dictionary_is_read_with_its_tones(name: str, degrees: tuple[str, ...]) -> None:
    scale = {1: 0, 2: 2, 3: 4, 4: 5, 5: 7, 6: 9, 7: 11, 9: 14, 11: 17, 13: 21}
    expected = {(scale[int(degree.lstrip("b#"))] + degree.count("#") - degree.count("b")) % 12 for degree in degrees}
    tones = {tone.pitch_class for tone in chord_tones(parse_chord("C" + name))}
    assert tones == PYCHORD_DIFFERS.get(name, expected)

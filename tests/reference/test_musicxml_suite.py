"""The MusicXML test suite that music21 carries: every file is read, and its notes are those that music21 finds.

Reference: music21 reading the same files whole, with their voices, spanners and chords, which are taken out before
ours is handed to it; ties are joined here by key and time. Where the two differ by design the file is named with
the reason.
"""

from __future__ import annotations

import warnings
from collections import defaultdict
from functools import cache
from pathlib import Path

import music21
import pytest

from core.formats.musicxml_reader import MusicXmlReader
from core.formats.reading import Reading
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.music21_notes import Sounding, notes_of_score, notes_of_song

SUITE = next(
    folder for folder in (Path(music21.__file__).parent / "musicxml").iterdir() if folder.name.endswith("TestSuite")
)
FILES = sorted(path.name for path in SUITE.iterdir() if path.suffix in (".xml", ".mxl"))

OTHERWISE = {
    "01d-Pitches-Microtones.xml": "a quarter tone between two keys is taken down to one by us, up by music21",
    "01f-Pitches-EditorialMicrotoneAccidentals.xml": "the same",
    "21f-Chord-ElementInBetween.xml": "a chord goes on over a direction; music21 ends it there",
    "32c-MultipleNotationChildren.xml": "the pitch says A, the accidental sharp; music21 follows the accidental",
}


@cache
def reading(name: str) -> Reading:
    return MusicXmlReader().read(name, (SUITE / name).read_bytes())


def sounding_to_music21(name: str) -> Sounding:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        score = music21.converter.parse(SUITE / name, forceSource=True)
        assert isinstance(score, music21.stream.Score)
        return notes_of_score(score)


def test_the_suite_is_whole() -> None:
    assert len(FILES) == 143


@pytest.mark.parametrize("name", FILES)
def test_every_file_is_read(name: str) -> None:
    read = reading(name)
    assert read.song.length > 0
    assert all(warning.endswith(".") and "\n" not in warning for warning in read.warnings)


@pytest.mark.parametrize("name", [name for name in FILES if name not in OTHERWISE])
def test_the_notes_are_those_that_music21_finds(name: str) -> None:
    assert notes_of_song(reading(name).song) == sounding_to_music21(name)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("01d-Pitches-Microtones.xml", "quarter tones"),
        ("11h-TimeSignatures-SenzaMisura.xml", "metres that cannot be counted"),
        ("13c-KeySignatures-NonTraditional.xml", "unusual key signatures"),
        ("22b-Staff-Notestyles.xml", "slash notation"),
        ("23e-Tuplets-Tremolo.xml", "tremolos"),
        ("32aa-Notations2_Ornaments.xml", "ornaments"),
        ("33h-Spanners-Glissando.xml", "glissandos"),
        ("61a-Lyrics.xml", "words under the notes"),
        ("71c-ChordsFrets.xml", "chord diagrams"),
        ("71e-TabStaves.xml", "tablature"),
        ("73a-Percussion.xml", "without a pitch"),
        ("74a-FiguredBass.xml", "figured bass"),
        ("75a-AccordionRegistrations.xml", "accordion"),
    ],
)
def test_what_is_left_out_is_named(name: str, words: str) -> None:
    assert any(words in warning for warning in reading(name).warnings)


@pytest.mark.parametrize(
    ("name", "order"),
    [
        ("45a-SimpleRepeat.xml", (1, 1, 1, 1, 1, 2)),
        ("45b-RepeatWithAlternatives.xml", (1, 2, 1, 3, 4)),
        ("45c-RepeatMultipleTimes.xml", (1, 2, 2, 2, 2, 2, 3, 3, 3, 4)),
        ("45g-Repeats-NotEnded.xml", (1, 2)),
    ],
)
def test_repeats_are_played_as_the_files_describe(name: str, order: tuple[int, ...]) -> None:
    """45a is played five times; 45b has two alternatives; 45c's parts are played five and three times."""
    assert reading(name).song.playing_order == order


@pytest.mark.parametrize(
    ("name", "pickup"),
    [("46d-PickupMeasure-ImplicitMeasures.xml", 1.5), ("46g-PickupMeasure-Chordnames-FiguredBass.xml", 1.0)],
)
def test_pick_up_bars_are_found(name: str, pickup: float) -> None:
    assert reading(name).song.pickup == pickup * TICKS_PER_QUARTER


def test_transposing_instruments_sound_alike() -> None:
    """72a: a trumpet in B flat, a horn in E flat and a piano, all of them playing the scale of C."""
    read = reading("72a-TransposingInstruments.xml")
    onsets = defaultdict(set)
    for onset, note in read.song.placed_notes():
        onsets[onset].add(note.pitch.midi % 12)
    assert all(len(names) == 1 for names in onsets.values())

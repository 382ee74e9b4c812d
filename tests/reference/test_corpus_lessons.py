"""Ten songs of music21's own corpus, from file to lesson.

Reference: music21 reading the same file. What an inspection says sounds must be what music21 says sounds (onset,
length and key of the keyboard, ties joined, repeats not unfolded), and the right-hand words of the plan must name
the melody's notes, each once and in order, where every part is taught whole (not a part that comes back by its
difference alone).

Two things are read otherwise than by music21, and so other tunes stand in the list of those compared: an accidental
holds to the end of its bar (ABC standard 2.1, section 11.3, where `pitch` is the default of propagate-accidentals;
music21 lets it hold for one note in files that name no version), and a hyphen between two different notes is no tie.
"""

from __future__ import annotations

import json
import re
from fractions import Fraction
from functools import cache
from pathlib import Path

import music21
import pytest

from core.formats.reading import Reading
from core.formats.registry import read_song
from core.session.inspection import inspect_song
from core.session.lesson_settings import LessonSettings
from core.session.running_order import running_order
from core.song.time import TICKS_PER_QUARTER

CORPUS = Path(music21.__file__).parent / "corpus"

TUNES = [
    ("essenFolksong/erk5.abc", 5),
    ("essenFolksong/erk5.abc", 7),
    ("essenFolksong/boehme10.abc", 3),
    ("essenFolksong/han1.abc", 2),
    ("oneills1850/0001-0050.abc", 46),
    ("oneills1850/0001-0050.abc", 40),
]
SCORES = ["bach/bwv66.6.mxl", "bach/bwv269.mxl", "joplin/maple_leaf_rag.mxl", "leadSheet/fosterBrownHair.mxl"]
SONGS = [*TUNES, *((score, None) for score in SCORES)]

NAME = re.compile(r"\b([A-G])( double| triple)?( sharp| flat)?\b")


@cache
def reading(path: str, tune: int | None) -> Reading:
    name = path if tune is None else f"{path}#{tune}"
    return read_song(name, (CORPUS / path).read_bytes())


def tune_text(path: str, number: int) -> str:
    """The text of the Nth tune of a book, with the standard's fields before it."""
    text = (CORPUS / path).read_text(encoding="utf-8", errors="replace")
    head, *tunes = re.split(r"^(?=X:)", text, flags=re.MULTILINE)
    fields = [line for line in head.splitlines() if re.match(r"[MLQ]:", line)]
    return "\n".join([*fields, tunes[number - 1]])


@cache
def sounding(path: str, tune: int | None) -> list[tuple[Fraction, Fraction, int]]:
    """What music21 says sounds: (onset, length, MIDI number), ties joined, in order."""
    if tune is None:
        score = music21.converter.parse(CORPUS / path, forceSource=True)
    else:
        score = music21.converter.parse(tune_text(path, tune), format="abc")
    assert isinstance(score, music21.stream.Score)
    found: list[tuple[Fraction, Fraction, int]] = []
    for part in score.parts:
        for element in part.stripTies().flatten().notes:
            if isinstance(element, music21.harmony.ChordSymbol):
                continue
            onset, length = Fraction(element.offset), Fraction(element.quarterLength)
            found.extend((onset, length, pitch.midi) for pitch in element.pitches)
    return sorted(found)


def inspected(path: str, tune: int | None) -> dict[str, object]:
    read = reading(path, tune)
    return json.loads(json.dumps(inspect_song(read.song, {"notes", "parts"}, read.warnings)))  # type: ignore[no-any-return]  # an inspection is JSON, whose shape mypy cannot know


@pytest.mark.parametrize(("path", "tune"), SONGS)
def test_an_inspection_has_the_notes_of_the_source(path: str, tune: int | None) -> None:
    source = sounding(path, tune)
    notes = inspected(path, tune)["notes"]
    read = sorted(
        (
            Fraction(note["onset"]).limit_denominator(960),
            Fraction(note["duration"]).limit_denominator(960),
            note["midi"],
        )
        for note in notes  # type: ignore[attr-defined]  # an inspection is JSON, whose shape mypy cannot know
    )
    assert read == [(Fraction(o).limit_denominator(960), Fraction(d).limit_denominator(960), m) for o, d, m in source]


@pytest.mark.parametrize(("path", "tune"), SONGS)
def test_the_plan_names_the_melody_in_order(path: str, tune: int | None) -> None:
    song = reading(path, tune).song
    melody = [note.pitch.name.spoken for _, note in song.placed_notes() if note.melody]
    said = [
        "".join(found)
        for segment in running_order(song, LessonSettings(by_difference=False))
        if segment.kind == "right_hand"
        for text in segment.say
        for found in NAME.findall(text.replace("middle C", ""))
    ]
    assert melody
    assert said == melody


@pytest.mark.parametrize(("path", "tune"), TUNES)
def test_the_melody_of_a_tune_is_the_tune(path: str, tune: int) -> None:
    song = reading(path, tune).song
    melody = [note.pitch.midi for _, note in song.placed_notes() if note.melody]
    assert melody == [midi for _, _, midi in sounding(path, tune)]


@pytest.mark.parametrize(("path", "tune"), TUNES)
def test_a_tune_without_chords_gets_suggested_ones_and_a_warning(path: str, tune: int) -> None:
    read = reading(path, tune)
    chords = [chord for part in read.song.parts for chord in part.chords]
    assert chords
    assert not any(chord.given for chord in chords)
    assert "Chords were suggested from the melody; check them." in read.warnings
    assert "left_hand" in {segment.kind for segment in running_order(read.song)}


@pytest.mark.parametrize(("path", "tune"), SONGS)
def test_chords_that_the_source_does_not_name_are_said_to_be_guesses(path: str, tune: int | None) -> None:
    read = reading(path, tune)
    are_given = all(chord.given for part in read.song.parts for chord in part.chords)
    has_chords = any(part.chords for part in read.song.parts)
    assert any("chord" in warning.lower() for warning in read.warnings) == (not are_given or not has_chords)
    assert ("left_hand" in {segment.kind for segment in running_order(read.song)}) == has_chords


def test_an_accidental_holds_to_the_end_of_its_bar() -> None:
    """``A6A2 | =B4B2c2`` in F: both are B natural, where music21 hears B natural and B flat."""
    song = reading("essenFolksong/boehme10.abc", 1).song
    heard = {onset / TICKS_PER_QUARTER: note.pitch.plain for onset, note in song.placed_notes()}
    assert (heard[44.0], heard[45.0]) == ("B4", "B4")


def test_a_hyphen_between_different_notes_is_no_tie() -> None:
    """``f-g | a3-b g3-a``: six notes."""
    song = reading("oneills1850/0001-0050.abc", 2).song
    assert [note.pitch.plain for _, note in song.placed_notes()][:6] == ["F#5", "G5", "A5", "B5", "G5", "A5"]

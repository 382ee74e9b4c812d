"""MusicXML written: everything found again, and laid out so that programs for notation show it."""

from collections import Counter
from xml.etree import ElementTree as ET

import pytest
from hypothesis import HealthCheck, assume, given, settings
from msgspec.structs import replace

from core.arranging.performed import performed
from core.formats.musicxml_reader import MusicXmlReader
from core.formats.musicxml_writer import MusicXmlWriter
from core.song.chord import Chord
from core.song.errors import FormatError
from core.song.note import Hand, Note
from core.song.part import Part, in_order
from core.song.pitch import Pitch
from core.song.song import Song
from core.theory.chord_symbols import parse_chord
from tests.helpers.golden import check_golden
from tests.helpers.songs import DEMO_SONGS, heron_at_the_sluice, night_ferry
from tests.helpers.strategies import songs

BAR = 40_320
Sounding = tuple[int, int, str, Hand]


def written(song: Song) -> ET.Element:
    return ET.fromstring(MusicXmlWriter().write("song.musicxml", song))


def read_again(song: Song) -> Song:
    return MusicXmlReader().read("song.musicxml", MusicXmlWriter().write("song.musicxml", song)).song


def sounding(song: Song) -> Counter[Sounding]:
    hands = song.has_written_left_hand
    return Counter(
        (onset, note.duration, note.pitch.plain, note.hand if hands else Hand.RIGHT)
        for onset, note in song.placed_notes()
    )


def line(*notes: Note) -> Song:
    return Song("Line", (Part(BAR, in_order(list(notes))),))


def holds_a_key_twice(song: Song) -> bool:
    """Whether two notes of a hand sound on one key at once; on paper nobody could say which tie is whose."""
    placed = [(note.hand, note.pitch.midi, onset, onset + note.duration) for onset, note in song.placed_notes()]
    return any(
        one[:2] == other[:2] and one[2] < other[3] and other[2] < one[3]
        for index, one in enumerate(placed)
        for other in placed[index + 1 :]
    )


@given(songs(with_extras=False))
@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_every_note_is_read_again_with_its_name_and_hand(song: Song) -> None:
    played = performed(song)
    assume(not holds_a_key_twice(played))
    assert sounding(read_again(song)) == sounding(played)


@given(songs(with_extras=False))
@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_parts_and_their_playing_order_are_read_again(song: Song) -> None:
    again = read_again(song)
    assert again.part_onsets == song.part_onsets
    assert again.playing_order == song.playing_order


@pytest.mark.parametrize("name", DEMO_SONGS)
def test_a_demo_song_comes_back_whole(name: str) -> None:
    song = DEMO_SONGS[name]()
    again = read_again(song)
    assert (again.title, again.keys, again.metres, again.tempos, again.pickup, again.length) == (
        song.title,
        song.keys,
        song.metres,
        song.tempos,
        song.pickup,
        song.length,
    )
    assert list(again.placed_chords()) == list(song.placed_chords())


@pytest.mark.parametrize("name", DEMO_SONGS)
def test_a_score_looks_as_it_did(name: str) -> None:
    check_golden(f"formats/{name}.musicxml", MusicXmlWriter().write(f"{name}.musicxml", DEMO_SONGS[name]()))


@pytest.mark.parametrize(
    "text",
    [
        "C",
        "F#m7b5",
        "Bbmaj9#11/D",
        "C7alt",
        "Gsus4",
        "D7sus2",
        "A9sus4",
        "Caug9",
        "Cdim9",
        "Em(maj9)",
        "C7no3",
        "N.C.",
        "Cadd#11",
        "Ab6/9",
        "C5",
    ],
)
def test_a_chord_symbol_is_read_again_exactly(text: str) -> None:
    symbol = parse_chord(text)
    song = Song("Chord", (Part(BAR, (Note(0, BAR, Pitch.parse("C5")),), (Chord(0, BAR, symbol),)),))
    assert [chord.symbol for _, chord in read_again(song).placed_chords()] == [symbol]


def test_a_chord_inside_a_long_note_stands_at_its_moment() -> None:
    chords = (Chord(0, 10_080, parse_chord("C")), Chord(10_080, 30_240, parse_chord("F")))
    song = Song("Held", (Part(BAR, (Note(0, BAR, Pitch.parse("C5")),), chords),))
    assert [(onset, chord.symbol) for onset, chord in read_again(song).placed_chords()] == [
        (0, parse_chord("C")),
        (10_080, parse_chord("F")),
    ]


def test_a_lesson_with_a_melody_alone_has_one_staff() -> None:
    assert written(night_ferry()).find("part/measure/attributes/staves") is None


def test_a_written_left_hand_has_a_staff_of_its_own_with_a_bass_clef() -> None:
    part = Part(BAR, (Note(0, BAR, Pitch.parse("C3"), Hand.LEFT), Note(0, BAR, Pitch.parse("E5"))))
    root = written(Song("Both", (part,)))
    assert root.findtext("part/measure/attributes/staves") == "2"
    assert [clef.findtext("sign") for clef in root.iter("clef")] == ["G", "F"]
    assert [(note.findtext("pitch/step"), note.findtext("staff")) for note in root.iter("note")] == [
        ("E", "1"),
        ("C", "2"),
    ]


def test_a_note_over_a_bar_line_is_tied() -> None:
    song = Song("Over", (Part(2 * BAR, (Note(30_240, 20_160, Pitch.parse("C5")),)),))
    ties = [
        [tie.get("type") for tie in note.iter("tie")]
        for note in written(song).iter("note")
        if note.find("pitch") is not None
    ]
    assert ties == [["start"], ["stop"]]


def test_lengths_are_written_as_note_values() -> None:
    root = written(
        line(
            Note(0, 15_120, Pitch.parse("C5")),
            Note(15_120, 5_040, Pitch.parse("D5")),
            Note(20_160, 20_160, Pitch.parse("E5")),
        )
    )
    values = [(note.findtext("type"), len(note.findall("dot"))) for note in root.iter("note")]
    assert values == [("quarter", 1), ("eighth", 0), ("half", 0)]
    assert root.findtext("part/measure/attributes/divisions") == "2"


def test_triplets_are_bracketed_beat_by_beat() -> None:
    root = written(line(*(Note(index * 3_360, 3_360, Pitch.parse("C5")) for index in range(12))))
    notes = list(root.iter("note"))
    assert {note.findtext("time-modification/actual-notes") for note in notes} == {"3"}
    brackets = [tuplet.get("type") for note in notes for tuplet in note.iter("tuplet")]
    assert brackets == ["start", "stop"] * 4


def test_accidentals_are_shown_where_the_bar_needs_them() -> None:
    names = ("F#5", "F#5", "F5", "Bb4")
    root = written(line(*(Note(index * 10_080, 10_080, Pitch.parse(name)) for index, name in enumerate(names))))
    assert [note.findtext("accidental") for note in root.iter("note")] == ["sharp", None, "natural", "flat"]


def test_two_lengths_together_take_two_voices() -> None:
    root = written(
        line(Note(0, BAR, Pitch.parse("C4")), Note(0, 20_160, Pitch.parse("G4")), Note(0, 20_160, Pitch.parse("E4")))
    )
    voices = [
        (note.findtext("voice"), note.find("chord") is not None)
        for note in root.iter("note")
        if note.find("rest") is None
    ]
    assert voices == [("1", False), ("2", False), ("2", True)]


def test_a_pick_up_is_an_implicit_bar_0() -> None:
    first = written(heron_at_the_sluice()).find("part/measure")
    assert first is not None
    assert (first.get("number"), first.get("implicit")) == ("0", "yes")


def test_endings_are_written_where_they_say_the_playing_order() -> None:
    root = written(heron_at_the_sluice())
    endings = [(ending.get("number"), ending.get("type")) for ending in root.iter("ending")]
    assert endings == [("1", "start"), ("1", "stop"), ("2", "start"), ("2", "discontinue")]
    assert [repeat.get("direction") for repeat in root.iter("repeat")] == ["backward"]


def test_a_repeat_inside_a_bar_divides_it() -> None:
    parts = (Part(30_240, (Note(0, 30_240, Pitch.parse("C5")),)), Part(50_400, (Note(0, 10_080, Pitch.parse("D5")),)))
    song = Song("Divided", parts, playing_order=(1, 1, 2))
    again = read_again(song)
    assert again.bars == song.bars
    assert again.playing_order == (1, 1, 2)


def test_an_order_that_signs_cannot_say_is_still_read_again() -> None:
    song = replace(night_ferry(), playing_order=(2, 1, 3, 1))
    assert written(song).find(".//repeat") is None
    assert read_again(song).playing_order == (2, 1, 3, 1)


def test_a_tempo_in_a_compound_metre_counts_dotted_quarters() -> None:
    metronome = written(heron_at_the_sluice()).find(".//metronome")
    assert metronome is not None
    assert metronome.find("beat-unit-dot") is not None
    assert metronome.findtext("per-minute") == "52"


def test_fingers_are_read_again() -> None:
    song = line(Note(0, BAR, Pitch.parse("C5"), finger=2))
    assert [note.finger for _, note in read_again(song).placed_notes()] == [2]


def test_grace_notes_are_read_again() -> None:
    song = line(Note(0, 0, Pitch.parse("B4")), Note(0, 0, Pitch.parse("C5")), Note(0, BAR, Pitch.parse("D5")))
    assert sounding(read_again(song)) == sounding(song)


def test_a_note_too_low_for_musicxml_is_named_with_its_bar() -> None:
    with pytest.raises(FormatError, match=r"low\.musicxml, bar 1: .* C-1"):
        MusicXmlWriter().write("low.musicxml", line(Note(0, BAR, Pitch.parse("C-1"))))


def test_control_characters_in_a_title_do_not_break_the_file() -> None:
    assert read_again(replace(night_ferry(), title="Night\x00\x0b Ferry & <co>")).title == "Night Ferry & <co>"

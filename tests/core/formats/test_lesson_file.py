"""The lesson file: what is written is read again, and it is laid out for people."""

import json

import pytest
from hypothesis import HealthCheck, given, settings
from msgspec.structs import replace

from core.formats.lesson_file import FORMAT, VERSION, LessonFile, read_lesson, write_lesson
from core.formats.lesson_reading import Document
from core.song.hand_profile import HandProfile
from core.song.note import Hand, Note
from core.song.part import Part
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.golden import check_golden
from tests.helpers.songs import DEMO_SONGS, night_ferry
from tests.helpers.strategies import songs


@given(songs())
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_what_is_written_is_read_as_the_same_song(song: Song) -> None:
    assert read_lesson("song.lesson", write_lesson(song)) == song


@given(songs())
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_the_file_is_json_that_any_program_can_read(song: Song) -> None:
    document = json.loads(write_lesson(song))
    assert (document["format"], document["version"]) == (FORMAT, VERSION)
    assert [len(part["notes"]) for part in document["parts"]] == [len(part.notes) for part in song.parts]


@pytest.mark.parametrize("name", DEMO_SONGS)
def test_a_lesson_file_looks_as_it_did(name: str) -> None:
    check_golden(f"formats/{name}.lesson", write_lesson(DEMO_SONGS[name]()))


def test_every_note_and_every_chord_has_a_line_of_its_own() -> None:
    song = night_ferry()
    lines = write_lesson(song).decode().splitlines()
    assert sum('"pitch"' in line for line in lines) == sum(len(part.notes) for part in song.parts)
    assert sum('"symbol"' in line for line in lines) == sum(len(part.chords) for part in song.parts)
    assert all(line.count('"pitch"') + line.count('"symbol"') <= 1 for line in lines)


def test_one_note_changed_changes_one_line() -> None:
    song = night_ferry()
    part = song.parts[1]
    moved = replace(part.notes[0], pitch=Pitch.parse("D5"))
    changed = song.with_part(2, replace(part, notes=(moved, *part.notes[1:])))
    before, after = write_lesson(song).decode().splitlines(), write_lesson(changed).decode().splitlines()
    assert len(before) == len(after)
    assert sum(one != other for one, other in zip(before, after, strict=True)) == 1


@pytest.mark.parametrize(
    ("ticks", "text"),
    [(10_080, "1"), (5_040, "0.5"), (630, "0.0625"), (3_360, '"1/3"'), (315, '"1/32"'), (1, '"1/10080"'), (0, "0")],
)
def test_times_are_numbers_where_four_decimals_are_exact_and_fractions_elsewhere(ticks: int, text: str) -> None:
    song = Song("x", (Part(20_160, (Note(0, ticks, Pitch.parse("C4")),)),))
    assert f'"duration": {text}, "pitch"' in write_lesson(song).decode()


@pytest.mark.parametrize(
    ("written", "ticks"), [("0.3333", 3_360), ('"1/3"', 3_360), ('" 2 / 4 "', 5_040), ("1.5", 15_120)]
)
def test_times_written_by_hand_are_taken_to_the_nearest_tick(written: str, ticks: int) -> None:
    note = f'{{"onset": 0, "duration": {written}, "pitch": "C4"}}'
    song = read_lesson("x", lesson_with_notes(note))
    assert song.parts[0].notes[0].duration == ticks


def test_a_note_written_by_hand_needs_only_a_time_and_a_pitch() -> None:
    song = read_lesson("x", lesson_with_notes('{"onset": 1, "duration": 1, "pitch": "F#4"}'))
    assert song.parts[0].notes == (Note(TICKS_PER_QUARTER, TICKS_PER_QUARTER, Pitch.parse("F#4"), hand_given=True),)


def test_notes_written_by_hand_may_stand_in_any_order() -> None:
    later, earlier = (f'{{"onset": {onset}, "duration": 1, "pitch": "C4", "hand": "left"}}' for onset in (2, 0.5))
    notes = read_lesson("x", lesson_with_notes(f"{later}, {earlier}")).parts[0].notes
    assert [(note.onset, note.hand, note.melody) for note in notes] == [
        (5_040, Hand.LEFT, False),
        (20_160, Hand.LEFT, False),
    ]


def test_a_lesson_without_hands_has_the_usual_ones() -> None:
    assert read_lesson("x", lesson_with_notes("")).hands == HandProfile()


def test_unknown_fields_at_every_level_are_written_again() -> None:
    text = write_lesson(night_ferry()).decode()
    marked = (
        text.replace('{"onset": 0, "key":', '{"colour": "red", "onset": 0, "key":')
        .replace('"bpm": 84', '"bpm": 84, "feel": ["calm", 1e2]')
        .replace('"right_reach": 12', '"right_reach": 12, "thumb": null')
        .replace('"pitch": "E4"', '"pitch": "E4", "touch": {"soft": true}', 1)
        .replace('"symbol": "Em"', '"symbol": "Em", "ring": false', 1)
        .replace('"duration": 12,', '"duration": 12, "mood": "dark",', 1)
        .replace('"title":', '"camera": 2, "title":')
    )
    again = json.loads(write_lesson(read_lesson("x", marked.encode())))
    assert again == json.loads(marked)


def test_only_a_suggested_chord_says_that_it_is_not_given() -> None:
    song = night_ferry()
    first, *others = song.part(1).chords
    written = write_lesson(song.with_part(1, replace(song.part(1), chords=(replace(first, given=False), *others))))
    chords = [chord for part in json.loads(written)["parts"] for chord in part["chords"]]
    assert [chord.get("given") for chord in chords] == [False] + [None] * (len(chords) - 1)


def test_a_byte_order_mark_before_the_text_is_passed_over() -> None:
    data = write_lesson(night_ferry())
    assert read_lesson("x", b"\xef\xbb\xbf" + data) == night_ferry()


def test_an_older_version_is_brought_up_step_by_step() -> None:
    def named_beats(document: Document) -> Document:
        """A made-up version −1 counted halves."""
        return {**document, "pickup": document["pickup"] / 2}  # type: ignore[operator]  # a lesson file is JSON, whose shape mypy cannot know

    def renamed(document: Document) -> Document:
        """A made-up version 0 called the title a name."""
        rest = {name: value for name, value in document.items() if name != "name"}
        return {**rest, "title": document["name"]}

    older = {
        **json.loads(write_lesson(replace(night_ferry(), pickup=10_080))),
        "version": -1,
        "name": "Old Ferry",
        "pickup": 2,
    }
    del older["title"]
    song = read_lesson("x", json.dumps(older).encode(), migrators=(named_beats, renamed))
    assert (song.title, song.pickup) == ("Old Ferry", 10_080)


def test_a_lesson_names_its_cuts() -> None:
    assert LessonFile().read("x.lesson", write_lesson(night_ferry())).has_cuts
    assert LessonFile().titles("x.lesson", write_lesson(night_ferry())) == ("Night Ferry",)


def lesson_with_notes(notes: str) -> bytes:
    """A lesson file of one bar as somebody might type it."""
    return f"""{{"format": "phrasebench lesson", "version": 1, "title": "Typed",
        "keys": [{{"key": "C major"}}], "metres": [{{"metre": "4/4"}}], "tempos": [{{"bpm": 90}}],
        "parts": [{{"duration": 4, "notes": [{notes}]}}]}}""".encode()

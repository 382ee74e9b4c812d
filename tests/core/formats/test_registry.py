"""The one door for files: by ending, with tunes picked from books, and cut into parts."""

import pytest

from core.formats.registry import (
    READERS,
    WRITERS,
    named_tune,
    read_song,
    readable_endings,
    tunes_in,
    writable_endings,
    write_song,
)
from core.session.inspection import inspect_song
from core.song.errors import ForeignFileError, FormatError, SeveralTunesError
from core.song.note import Hand
from core.song.song import Song
from tests.helpers.midi_bytes import held, midi_file, track
from tests.helpers.musicxml_text import attributes, note, packed, repeat, score
from tests.helpers.songs import DEMO_SONGS, night_ferry

BOOK = b"X:1\nT:One\nM:4/4\nL:1/4\nK:C\nCDEF|G4|\n\nX:2\nT:Two\nM:4/4\nL:1/4\nK:C\nGFED|C4|\n"
LONG = [attributes() + "".join(note(name, 4) for name in ("C4", "D4", "E4", "F4")), note("G4", 16)] * 8
SAMPLES = {
    ".lesson": write_song("x.lesson", night_ferry()),
    ".musicxml": score(LONG),
    ".xml": score(LONG),
    ".mxl": packed(score(LONG)),
    ".mid": midi_file(track(held(480, *([60, 62, 64, 65] * 8)))),
    ".midi": midi_file(track(held(480, *([60, 62, 64, 65] * 8)))),
    ".abc": BOOK.partition(b"\n\n")[0],
    ".played": b"\n".join(
        (
            b'{"begun": "2026-11-25T17:41:02+00:00", "keyboard": "Stage piano"}',
            *(
                b"[%d, 144, %d, 70]\n[%d.9, 128, %d, 64]" % (at, midi, at, midi)
                for at, midi in enumerate([60, 62, 64, 65] * 8)
            ),
        )
    ),
}


def sounding(song: Song) -> list[tuple[int, int, int]]:
    return sorted((onset, one.duration, one.pitch.midi) for onset, one in song.placed_notes())


def test_the_endings_are_those_that_are_promised() -> None:
    assert set(readable_endings) == {".lesson", ".musicxml", ".mxl", ".xml", ".mid", ".midi", ".abc", ".played"}
    assert {".lesson", ".musicxml", ".mid"} <= set(writable_endings)


@pytest.mark.parametrize("ending", SAMPLES)
def test_every_ending_is_read(ending: str) -> None:
    reading = read_song(f"Song{ending.upper()}", SAMPLES[ending])
    assert sounding(reading.song)
    assert tunes_in(f"Song{ending}", SAMPLES[ending]) == (reading.song.title,)


@pytest.mark.parametrize("reader", READERS, ids=lambda reader: type(reader).__name__)
@pytest.mark.parametrize("data", [b"", b"\0", b"\xff\xfe\xfd", b"{", b"<", b"PK", b"MThd", b"X:", bytes(range(256))])
def test_no_reader_says_more_than_one_sentence_to_rubbish(reader: object, data: bytes) -> None:
    ending = reader.endings[0]  # type: ignore[attr-defined]  # parametrized values come in as objects
    with pytest.raises(FormatError) as caught:
        read_song(f"rubbish{ending}", data)
    assert "\n" not in str(caught.value)
    assert str(caught.value).startswith("rubbish")


@pytest.mark.parametrize("name", DEMO_SONGS)
@pytest.mark.parametrize("ending", writable_endings)
def test_a_lesson_converted_and_back_keeps_its_notes(name: str, ending: str) -> None:
    song = DEMO_SONGS[name]()
    there = read_song(f"x{ending}", write_song(f"x{ending}", song)).song
    back = read_song("x.lesson", write_song("x.lesson", there)).song
    assert sounding(back) == sounding(song)
    assert list(back.placed_chords()) == list(song.placed_chords())
    assert (back.part_onsets, back.playing_order) == (song.part_onsets, song.playing_order)


@pytest.mark.parametrize("writer", WRITERS, ids=lambda writer: type(writer).__name__)
def test_every_writer_writes_the_same_bytes_each_time(writer: object) -> None:
    name = f"x{writer.endings[0]}"  # type: ignore[attr-defined]  # parametrized values come in as objects
    assert write_song(name, night_ferry()) == write_song(name, night_ferry())


def test_a_song_without_cuts_of_its_own_is_cut_into_parts() -> None:
    reading = read_song("x.musicxml", score(LONG))
    assert len(reading.song.parts) > 1
    assert not reading.has_cuts


def test_repeats_are_cuts_whatever_else_is_proposed() -> None:
    bars = [*LONG[:4], LONG[4].replace(attributes(), "") + repeat("backward"), *LONG[5:]]
    song = read_song("x.musicxml", score(bars)).song
    assert 5 * 40_320 in song.part_onsets
    number = song.part_onsets.index(5 * 40_320)
    assert song.playing_order[: 2 * number] == (*range(1, number + 1), *range(1, number + 1))


def test_a_lesson_keeps_its_own_cuts() -> None:
    assert read_song("x.lesson", write_song("x.lesson", night_ferry())).song == night_ferry()


def test_a_tune_is_picked_from_a_book_by_its_place() -> None:
    assert read_song("book.abc#2", BOOK).song.title == "Two"
    assert tunes_in("book.abc", BOOK) == ("One", "Two")
    with pytest.raises(SeveralTunesError):
        read_song("book.abc", BOOK)


@pytest.mark.parametrize(
    ("name", "apart"),
    [
        ("book.abc#12", ("book.abc", 12)),
        ("book.abc", ("book.abc", None)),
        ("study in F#3", ("study in F#3", None)),
        ("opus#3.mid", ("opus#3.mid", None)),
        ("book.abc#0", ("book.abc#0", None)),
    ],
)
def test_a_number_after_a_name_is_told_from_the_name(name: str, apart: tuple[str, int | None]) -> None:
    assert named_tune(name) == apart


@pytest.mark.parametrize("name", ["song.pdf", "song", ".mid", "song.abc.txt"])
def test_another_ending_is_refused_with_those_that_can_be_read(name: str) -> None:
    with pytest.raises(ForeignFileError, match=r"\.lesson.*\.abc"):
        read_song(name, b"")


def test_another_ending_cannot_be_written() -> None:
    with pytest.raises(ForeignFileError, match=r"\.lesson.*\.mid"):
        write_song("x.pdf", night_ferry())


def test_a_song_that_is_read_can_be_inspected() -> None:
    for ending, data in SAMPLES.items():
        reading = read_song(f"x{ending}", data)
        found = inspect_song(reading.song, None, reading.warnings)
        assert found["notes"], ending


def test_hands_are_given_only_where_a_source_gives_them() -> None:
    song = read_song("x.mid", SAMPLES[".mid"]).song
    assert {(one.hand, one.hand_given) for _, one in song.placed_notes()} == {(Hand.RIGHT, False)}

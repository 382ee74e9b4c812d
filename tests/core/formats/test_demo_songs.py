"""The demo lessons in their three formats are the same songs."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from core.formats.registry import read_song, write_song
from core.song.errors import FormatError
from core.song.song import Song
from tests.helpers.songs import DEMO_SONGS

FOLDER = Path(__file__).parents[3] / "demo_songs"


def facts(song: Song) -> object:
    notes = [(onset, note.duration, note.pitch) for onset, note in song.placed_notes() if note.melody]
    chords = [(onset, chord.duration, chord.symbol) for onset, chord in song.placed_chords()]
    cuts = [part.duration for part in song.parts]
    return song.title, song.key, song.metre, song.tempo, song.pickup, song.playing_order, cuts, notes, chords


@pytest.mark.parametrize("name", DEMO_SONGS)
def test_the_lesson_is_the_song_it_was_written_from(name: str) -> None:
    assert read_song(name + ".lesson", (FOLDER / f"{name}.lesson").read_bytes()).song == DEMO_SONGS[name]()


@pytest.mark.parametrize("ending", ["musicxml", "mid"])
@pytest.mark.parametrize("name", DEMO_SONGS)
def test_every_format_carries_the_same_song(name: str, ending: str) -> None:
    file = FOLDER / f"{name}.{ending}"
    assert facts(read_song(file.name, file.read_bytes()).song) == facts(DEMO_SONGS[name]())
    assert write_song(file.name, DEMO_SONGS[name]()) == file.read_bytes()


def test_a_title_that_speaks_of_right_and_left_is_kept() -> None:
    song = replace(DEMO_SONGS["night_ferry"](), title="I Was Doing All Right")
    assert read_song("a.mid", write_song("a.mid", song)).song.title == "I Was Doing All Right"


def test_a_file_with_one_song_has_no_second() -> None:
    lesson = (FOLDER / "night_ferry.lesson").read_bytes()
    assert read_song("night_ferry.lesson#1", lesson).song.title == "Night Ferry"
    with pytest.raises(FormatError, match="one song only; leave the number away"):
        read_song("night_ferry.lesson#2", lesson)

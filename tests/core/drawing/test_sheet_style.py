"""A song's rows share one style, and it stays put while notes move inside it."""

import pytest

from core.drawing.sheet_style import sheet_style
from core.edits.move_note import move_note
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER as QUARTER
from core.teaching.naming import Naming
from tests.helpers.drawn_songs import drawn_song, ferry, hard_songs, part
from tests.helpers.font_metrics import font_metrics

METRICS = font_metrics()


def quarter(song: Song, wrap: float | None = None, naming: Naming = Naming.LETTERS) -> float:
    return sheet_style(song, METRICS, wrap, naming).pixels_per_tick(song) * QUARTER


def of(notes: str, metre: str = "4/4") -> Song:
    return drawn_song("A", "C major", metre, part(notes))


def test_faster_notes_get_wider_beats() -> None:
    slow, quick, quicker = of("C5:4 C5:4"), of("C5 C5 C5 C5"), of("C5:0.25 " * 16)
    assert quarter(slow) < quarter(quick) < quarter(quicker)


def test_a_felt_beat_of_six_eight_is_as_wide_as_its_dotted_quarter() -> None:
    song = of("C5:0.5 " * 12, "6/8")
    style = sheet_style(song, METRICS)
    assert style.beat_width == pytest.approx(1.5 * quarter(song))


def test_longer_names_get_wider_beats() -> None:
    song = of("C#5:0.25 G#5:0.25 " * 8)
    assert quarter(song, naming=Naming.SYLLABLES) > quarter(song, naming=Naming.LETTERS)


def test_one_more_bar_is_brought_into_a_line_where_little_width_is_missing() -> None:
    song = of("C5 D5 E5 F5 " * 8)
    assert quarter(song, wrap=134 + 2 * 4 * 70) == pytest.approx(70, abs=0.5)
    assert quarter(song, wrap=None) == 76


def test_moving_a_note_inside_the_bounds_keeps_the_style() -> None:
    song = ferry()
    moved = move_note(song, 1, 3, None, Pitch.parse("A4"))
    assert sheet_style(moved, METRICS, 1000) == sheet_style(song, METRICS, 1000)


def test_the_bounds_hold_every_note_with_a_step_to_spare() -> None:
    for song in hard_songs():
        style = sheet_style(song, METRICS)
        steps = [note.pitch.staff_step for one in song.parts for note in one.melody]
        assert all(style.lowest < step < style.highest for step in steps)
        assert style.highest - style.lowest >= 8


def test_a_song_of_five_octaves_is_drawn_lower_a_step() -> None:
    assert sheet_style(of("C2:2 C7:2"), METRICS).step_height < sheet_style(of("C4:2 C5:2"), METRICS).step_height

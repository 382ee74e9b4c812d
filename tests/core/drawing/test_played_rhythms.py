"""Songs that somebody has played: chords struck not quite together, onsets a little beside the beat."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.drawing.row_beads import Bead, place_beads
from core.drawing.row_lines import SheetLine
from core.drawing.sheet_style import SheetStyle, sheet_style
from core.song.note import Note
from core.song.part import Part
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.font_metrics import font_metrics

METRICS = font_metrics()
QUARTER = TICKS_PER_QUARTER


def song_at(onsets: list[int]) -> Song:
    """A song with a short note at each onset, in one part."""
    notes = tuple(Note(onset, QUARTER // 8, Pitch.parse("E4")) for onset in sorted(set(onsets)))
    return Song("Song", (Part(max(onsets) + QUARTER, notes),))


def test_a_few_onsets_beside_one_another_do_not_widen_the_beats_of_a_played_song() -> None:
    evenly = [place * QUARTER // 2 for place in range(60)]
    played = [*evenly, 7 * QUARTER + 40, 12 * QUARTER + QUARTER // 20]
    plain, humanly = sheet_style(song_at(evenly), METRICS, 900), sheet_style(song_at(played), METRICS, 900)
    assert humanly.beat_width <= 2 * plain.beat_width


def test_a_song_of_fast_notes_still_gets_the_room_that_their_beads_need() -> None:
    fast = [place * QUARTER // 16 for place in range(64)]
    style = sheet_style(song_at(fast), METRICS, 900)
    beads = place(song_at(fast), style)
    for bead, after in pairwise(beads):
        assert bead.x + bead.half_width < after.x - after.half_width
        assert bead.x - bead.half_width == pytest.approx(bead_left(bead.note, style))


def place(song: Song, style: SheetStyle) -> list[Bead]:
    part = song.part(1)
    line = SheetLine(0, part.duration, 0.0, 0.0, 20.0, 100.0, 120.0, 150.0)
    return list(place_beads(list(enumerate(part.notes)), [line], style, METRICS, style.pixels_per_tick(song)))


def bead_left(note: Note, style: SheetStyle) -> float:
    return note.onset * style.beat_width / QUARTER


@settings(max_examples=60)
@given(st.lists(st.integers(0, 16 * QUARTER), min_size=2, max_size=40))
def test_beads_of_whatever_is_played_never_lie_on_one_another(onsets: list[int]) -> None:
    song = song_at(onsets)
    for bead, after in pairwise(place(song, sheet_style(song, METRICS, 900))):
        assert bead.x + bead.half_width <= after.x - after.half_width

"""A left hand that is written out under chords is drawn beneath them; rows without one look as they did."""

from __future__ import annotations

import json
from itertools import pairwise

import pytest
from msgspec.structs import replace

from app.resources import asset
from core.drawing.hit_testing import subject_at
from core.drawing.lesson_sheet import lay_out_row
from core.drawing.metrics import FontMetrics
from core.drawing.row_left_hand import has_written_left_hand, left_strikes
from core.drawing.shapes import Rectangle, Role, Subject, Text
from core.drawing.sheet_style import STRUCK_TOGETHER, sheet_style
from core.edits.set_teaching import set_pattern
from core.song.note import Hand, Note
from core.song.part import in_order
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.songs import night_ferry

QUARTER = TICKS_PER_QUARTER


@pytest.fixture
def metrics() -> FontMetrics:
    return FontMetrics.of_table(json.loads(asset("fonts/metrics.json")))


def left(onset: int, duration: int, *names: str) -> list[Note]:
    return [Note(onset, duration, Pitch.parse(name), Hand.LEFT, True, melody=False) for name in names]


def with_left(song: Song, number: int, notes: list[Note]) -> Song:
    part = song.part(number)
    return song.with_part(number, replace(part, notes=in_order([*part.notes, *notes])))


@pytest.fixture
def written() -> Song:
    """A bass note and two notes above it in turn, under the chords of the second part."""
    notes = [
        note
        for beat in range(12)
        for note in left(beat * QUARTER, QUARTER, *(("A2",) if beat % 2 == 0 else ("E3", "C#4")))
    ]
    return with_left(night_ferry(), 2, notes)


def test_what_is_struck_together_stands_together_lowest_first(written: Song) -> None:
    part = written.part(2)
    names = [[part.notes[index].pitch.plain for index in struck] for struck in left_strikes(part)]
    assert names[:3] == [["A2"], ["E3", "C#4"], ["A2"]]
    assert len(names) == 12


def test_notes_of_a_chord_that_a_player_struck_almost_together_are_one_strike() -> None:
    notes = [*left(100, QUARTER, "C3"), *left(100 + STRUCK_TOGETHER - 1, QUARTER, "E3"), *left(QUARTER, QUARTER, "G3")]
    part = with_left(night_ferry(), 2, notes).part(2)
    assert [len(struck) for struck in left_strikes(part)] == [2, 1]


def test_every_strike_has_a_square_bead_at_its_moment_beneath_the_chords(written: Song, metrics: FontMetrics) -> None:
    style = sheet_style(written, metrics)
    layout = lay_out_row(written, 2, style, metrics)
    line = layout.lines[0]
    assert len(layout.left_beads) == 12
    for bead in layout.left_beads:
        assert bead.left == layout.x_of(bead.onset)
    assert [bead.text for bead in layout.left_beads[:2]] == ["A", "E C♯"]
    boxes = [shape for shape in layout.picture.shapes if isinstance(shape, Rectangle) and shape.y == line.left_top]
    assert len(boxes) == 12
    assert all(box.fill is Role.LEFT_FILL and box.corner < 4 for box in boxes)
    assert line.left_top > line.chords_top + 24
    assert line.bottom >= line.left_top + boxes[0].height
    assert all(before.x + before.width < after.x for before, after in pairwise(boxes))


def test_a_bead_is_taken_by_its_lowest_note_and_framed_where_any_of_it_is_selected(
    written: Song, metrics: FontMetrics
) -> None:
    style = sheet_style(written, metrics)
    second = left_strikes(written.part(2))[1]
    layout = lay_out_row(written, 2, style, metrics, selected_note=second[1])
    bead = layout.left_beads[1]
    middle = (bead.left + bead.width / 2, layout.lines[0].left_top + 8)
    assert subject_at(layout.picture, *middle, metrics) == Subject("note", 2, second[0])
    framed = [
        shape
        for shape in layout.picture.shapes
        if isinstance(shape, Rectangle)
        and shape.edge is Role.SELECTED
        and shape.subject == Subject("note", 2, second[0])
    ]
    assert len(framed) == 1


def test_names_that_have_no_room_are_left_out_from_the_top_and_the_rhythm_stays(metrics: FontMetrics) -> None:
    fast = [note for step in range(64) for note in left(step * QUARTER // 8, QUARTER // 8, "C#3", "E#3", "G#3", "B#3")]
    song = with_left(night_ferry(), 2, fast)
    layout = lay_out_row(song, 2, sheet_style(night_ferry(), metrics), metrics)
    assert len(layout.left_beads) == 64
    for before, after in pairwise(layout.left_beads):
        assert before.left + before.width < after.left
        assert before.text in ("", "C♯", "C♯ E♯")
    widths = {bead.index: bead for bead in layout.beads}
    plain = lay_out_row(night_ferry(), 2, sheet_style(night_ferry(), metrics), metrics)
    assert len(widths) == len(plain.beads)
    assert layout.picture.width == plain.picture.width, "a written left hand widens no row"


def test_rows_without_a_written_left_hand_are_as_high_as_ever(written: Song, metrics: FontMetrics) -> None:
    style = sheet_style(written, metrics)
    with_beads, without = (lay_out_row(song, 2, style, metrics) for song in (written, night_ferry()))
    assert without.left_beads == ()
    assert with_beads.picture.height == without.picture.height + 22
    assert (
        lay_out_row(written, 1, style, metrics).picture.height
        == lay_out_row(night_ferry(), 1, style, metrics).picture.height
    )


def test_what_a_pattern_plays_in_its_place_is_not_drawn_as_written(written: Song, metrics: FontMetrics) -> None:
    assert has_written_left_hand(written.part(2))
    changed = set_pattern(written, 2, "broken")
    assert not has_written_left_hand(changed.part(2))
    assert lay_out_row(changed, 2, sheet_style(changed, metrics), metrics).left_beads == ()


def test_a_wrapped_row_has_the_beads_of_each_line_in_it(written: Song, metrics: FontMetrics) -> None:
    layout = lay_out_row(written, 2, sheet_style(written, metrics, 520), metrics)
    assert len(layout.lines) > 1
    for bead in layout.left_beads:
        assert layout.lines[bead.line].holds(bead.onset)
    tops = [line.left_top for line in layout.lines]
    assert all(line.chords_top < top < line.bottom for line, top in zip(layout.lines, tops, strict=True))
    assert all(low.top > line.bottom for line, low in pairwise(layout.lines))


def test_the_position_strikes_no_name_of_the_left_hand_out(written: Song, metrics: FontMetrics) -> None:
    layout = lay_out_row(written, 2, sheet_style(written, metrics), metrics)
    letters = [
        shape
        for shape in layout.picture.shapes
        if isinstance(shape, Text) and shape.baseline > layout.lines[0].left_top
    ]
    assert letters
    for bead in layout.left_beads:
        x = layout.x_of(bead.onset) + layout.lead
        if bead.left < x < bead.left + bead.width:
            top = layout.lines[0].left_top
            assert all(piece.y2 <= top or piece.y1 >= top + 16 for piece in layout.position_lines(bead.onset))


def test_those_who_do_not_see_the_row_are_told_what_the_left_hand_plays(written: Song, metrics: FontMetrics) -> None:
    style = sheet_style(written, metrics)
    said = lay_out_row(written, 2, style, metrics).picture.description
    assert "It plays A, E C sharp, A, E C sharp" in said
    assert "It plays" not in lay_out_row(night_ferry(), 2, style, metrics).picture.description

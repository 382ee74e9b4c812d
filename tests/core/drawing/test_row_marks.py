"""Marks on beads and bars: told apart by shape, readable, and nothing of the row covered by them."""

from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.drawing.hit_testing import Box, box_of, subject_at
from core.drawing.lesson_sheet import RowFacts, RowLayout, lay_out_row
from core.drawing.row_marks import WORDS, Mark, Sign, bearer_at, bearer_of, draw_marks
from core.drawing.shapes import Circle, Line, Picture, Polygon, Rectangle, Shape, Subject, Text
from core.drawing.sheet_style import sheet_style
from core.session.analysis import analyse_part
from core.song.note import Hand
from core.song.song import Song
from core.teaching.naming import Naming
from tests.helpers.drawn_songs import any_song, drawn_song, ferry, hard_songs, part
from tests.helpers.font_metrics import font_metrics

METRICS = font_metrics()
WRAPS = (None, 1000.0, 620.0, 360.0)
SIGNS: tuple[Sign, ...] = get_args(Sign)
SETS = (
    (Mark("late"),),
    (Mark("wrong", "C♯"),),
    (Mark("missed"), Mark("doubtful")),
    (Mark("wanted"), Mark("doubtful")),
)


def row(song: Song, number: int, wrap: float | None = 1000.0, naming: Naming = Naming.LETTERS) -> RowLayout:
    facts = RowFacts.of(analyse_part(song, number))
    return lay_out_row(song, number, sheet_style(song, METRICS, wrap, naming=naming), METRICS, analysis=facts)


def drawn(layout: RowLayout, index: int, *marks: Mark, kind: str = "note") -> tuple[Shape, ...]:
    return draw_marks(layout, Subject(kind, layout.number, index), marks, METRICS)


def ground_of(shapes: tuple[Shape, ...]) -> Box:
    """The box around everything that a mark paints."""
    boxes = [box_of(shape, METRICS) for shape in shapes]
    whole = boxes[0]
    for box in boxes[1:]:
        whole = whole.joined(box)
    return whole


def overlap(one: Box, other: Box) -> float:
    """The smaller of the width and height that two boxes share; 0 or less where they share nothing."""
    wide = min(one.right, other.right) - max(one.left, other.left)
    high = min(one.bottom, other.bottom) - max(one.top, other.top)
    return min(wide, high)


def check_marks_cover_nothing(layout: RowLayout, song: Song) -> None:
    notes = song.part(layout.number).notes
    kept = [
        (shape, box_of(shape, METRICS))
        for shape in layout.picture.shapes
        if shape.subject is not None
        and shape.subject.kind in ("note", "chord", "landing")
        and isinstance(shape, Text | Circle)
    ]
    for bead in layout.beads:
        for marks in SETS[bead.index % 2 :: 2]:
            painted = [box_of(shape, METRICS) for shape in drawn(layout, bead.index, *marks)]
            for shape, box in kept:
                assert shape.subject is not None
                grace = shape.subject.kind == "note" and notes[shape.subject.index].is_grace
                if not grace and not bead.note.is_grace:  # grace notes crowd before their note
                    assert all(overlap(one, box) <= 1.0 for one in painted), (marks, shape, painted)


@pytest.mark.parametrize("wrap", WRAPS)
@pytest.mark.parametrize("song", hard_songs(), ids=lambda song: song.title)
def test_marks_of_beads_cover_no_bead_letter_finger_or_pin_in_songs_that_are_hard_to_draw(
    song: Song, wrap: float | None
) -> None:
    for number in range(1, len(song.parts) + 1):
        check_marks_cover_nothing(row(song, number, wrap), song)


@settings(max_examples=15, deadline=None)
@given(song=any_song(), wrap=st.sampled_from(WRAPS), naming=st.sampled_from(Naming))
def test_marks_of_beads_cover_nothing_in_any_song(song: Song, wrap: float | None, naming: Naming) -> None:
    for number in range(1, len(song.parts) + 1):
        check_marks_cover_nothing(row(song, number, wrap, naming), song)


@pytest.mark.parametrize("number", [1, 2, 3])
def test_marks_of_bars_stand_beside_the_pin_and_cover_no_name(number: int) -> None:
    layout = row(ferry(), number)
    for index in range(len(ferry().part(number).chords)):
        for sign in SIGNS:
            ground = ground_of(drawn(layout, index, Mark(sign), kind="chord"))
            for shape in layout.picture.shapes:
                if isinstance(shape, Text | Circle) and shape.subject and shape.subject.kind in ("chord", "landing"):
                    assert overlap(ground, box_of(shape, METRICS)) <= 0.5


def test_every_sign_has_a_shape_of_its_own() -> None:
    layout = row(ferry(), 1)

    def outline(sign: Sign) -> tuple[object, ...]:
        shapes = [shape for shape in drawn(layout, 2, Mark(sign)) if not isinstance(shape, Text)]
        return tuple((type(shape), *_points(shape)) for shape in shapes if not isinstance(shape, Rectangle))

    assert len({outline(sign) for sign in SIGNS}) == len(SIGNS)


def _points(shape: Shape) -> tuple[object, ...]:
    if isinstance(shape, Polygon):
        return shape.points
    if isinstance(shape, Line):
        return (shape.x1, shape.y1, shape.x2, shape.y2)
    return (box_of(shape, METRICS),)


@pytest.mark.parametrize("sign", sorted(WORDS))
def test_a_verdict_is_said_in_a_word_where_there_is_room_and_by_its_letter_in_a_run(sign: Sign) -> None:
    wide = drawn(row(ferry(), 1), 1, Mark(sign))
    assert [shape.text for shape in wide if isinstance(shape, Text)] == [WORDS[sign]]
    sixteenths = next(song for song in hard_songs() if song.title == "Sixteenths")
    narrow = drawn(row(sixteenths, 1, 620.0), 3, Mark(sign))
    assert [shape.text for shape in narrow if isinstance(shape, Text)] in ([WORDS[sign]], [WORDS[sign][0]])


def test_a_wrong_key_is_called_by_its_name() -> None:
    shapes = drawn(row(ferry(), 1), 1, Mark("wrong", "B♭"))
    assert [shape.text for shape in shapes if isinstance(shape, Text)] == ["B♭"]


def test_a_low_bead_has_its_mark_above_and_a_high_one_below() -> None:
    song = drawn_song("Far", "C major", "4/4", part("C4 C5 C4 C5", "C:4"))
    layout = row(song, 1)
    low, high = layout.beads[0], layout.beads[1]
    assert ground_of(drawn(layout, low.index, Mark("late"))).bottom < low.y - low.half_height
    assert ground_of(drawn(layout, high.index, Mark("late"))).top > high.y + high.half_height


def test_a_mark_answers_for_the_note_it_belongs_to() -> None:
    layout = row(ferry(), 1)
    shapes = drawn(layout, 1, Mark("missed"))
    box = ground_of(shapes)
    picture = Picture(0, 0, shapes)
    middle = ((box.left + box.right) / 2, (box.top + box.bottom) / 2)
    assert subject_at(picture, *middle, METRICS) == Subject("note", 1, 1)


def test_what_is_not_drawn_and_what_has_nothing_to_say_has_no_marks() -> None:
    layout = row(ferry(), 1)
    assert drawn(layout, 99, Mark("late")) == ()
    assert drawn(layout, 1) == ()


def test_a_note_under_the_melody_is_marked_on_the_bead_that_sounds_over_it() -> None:
    one = part("C5:2 D5:2", "C:4")
    under = replace(one.notes[1], melody=False)
    song_part = replace(one, notes=(one.notes[0], replace(under, onset=one.notes[0].onset + 1)))
    assert bearer_of(song_part, 1, 3) == Subject("note", 3, 0)


def test_the_left_hand_is_marked_on_the_chord_that_sounds_or_on_its_written_bar() -> None:
    second = ferry().part(2)
    later = second.chords[1].onset
    assert bearer_at(second, 0, Hand.LEFT, 2) == Subject("chord", 2, 0)
    assert bearer_at(second, later, Hand.LEFT, 2) == Subject("chord", 2, 1)
    written = next(song for song in hard_songs() if song.title == "Written out")
    layout = row(written, 1)
    left = [index for index, note in enumerate(written.part(1).notes) if note.hand is Hand.LEFT]
    for index in left:
        assert bearer_of(written.part(1), index, 1) == Subject("note", 1, index)
        assert drawn(layout, index, Mark("late"))
    assert bearer_at(part("-:4"), 0, Hand.LEFT, 1) is None
    assert bearer_at(part("-:4"), 0, Hand.RIGHT, 1) is None

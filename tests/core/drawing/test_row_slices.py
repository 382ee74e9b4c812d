"""A row too tall for a page is cut between its lines, and nothing is lost."""

from core.drawing.hit_testing import box_of
from core.drawing.lesson_sheet import RowLayout, lay_out_row
from core.drawing.row_slices import slices
from core.drawing.shapes import Text
from core.drawing.sheet_style import sheet_style
from tests.helpers.drawn_songs import drawn_song, part
from tests.helpers.font_metrics import font_metrics

METRICS = font_metrics()


def tall() -> RowLayout:
    song = drawn_song("Tall", "G major", "4/4", part("G4 A4 B4 C5 D5:5 B4 G4 F#4 " * 6, "G:4 Em:6 C:1 D:1 " * 6))
    return lay_out_row(song, 1, sheet_style(song, METRICS, 700), METRICS)


def test_a_row_that_fits_stays_whole() -> None:
    layout = tall()
    assert slices(layout, 10_000, METRICS) == (layout.picture,)


def test_pieces_are_no_taller_than_asked_and_hold_everything_once() -> None:
    layout = tall()
    pieces = slices(layout, 500, METRICS)
    assert len(pieces) > 2
    assert all(piece.height <= 500 for piece in pieces)
    words = sorted(s.text for piece in pieces for s in piece.shapes if isinstance(s, Text))
    assert words == sorted(s.text for s in layout.picture.shapes if isinstance(s, Text))
    count = sum(len(piece.shapes) for piece in pieces)
    assert count == len(layout.picture.shapes) + len(pieces) - 1
    for piece in pieces:
        assert all(box_of(s, METRICS).top >= -1 and box_of(s, METRICS).bottom <= piece.height for s in piece.shapes)


def test_a_single_line_is_never_cut() -> None:
    layout = tall()
    assert len(slices(layout, 10, METRICS)) == len(layout.lines)
    one = drawn_song("One", "G major", "4/4", part("G4 A4 B4 C5", "G:4"))
    short = lay_out_row(one, 1, sheet_style(one, METRICS, 700), METRICS)
    assert len(slices(short, 10, METRICS)) == 1


def test_later_pieces_say_that_they_go_on() -> None:
    pieces = slices(tall(), 500, METRICS)
    assert {piece.description for piece in pieces[1:]} == {"Part 1, continued."}

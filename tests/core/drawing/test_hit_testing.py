"""What lies at a place, and where a thing lies."""

from core.drawing.hit_testing import Box, place_of, subject_at, subjects_in
from core.drawing.shapes import Anchor, Circle, Line, Picture, Polygon, Rectangle, Role, Subject, Text
from tests.helpers.font_metrics import font_metrics

METRICS = font_metrics()
ONE, TWO, THREE = Subject("note", 1, 0), Subject("note", 1, 1), Subject("chord", 1, 0)


def test_the_topmost_shape_with_a_subject_answers() -> None:
    picture = Picture(
        100,
        100,
        (
            Rectangle(0, 0, 50, 50, Role.CARD, subject=ONE),
            Rectangle(20, 20, 50, 50, Role.CARD, subject=TWO),
            Rectangle(0, 0, 100, 100, Role.CARD),
        ),
    )
    assert subject_at(picture, 10, 10, METRICS) == ONE
    assert subject_at(picture, 30, 30, METRICS) == TWO
    assert subject_at(picture, 90, 90, METRICS) is None


def test_a_circle_is_round() -> None:
    picture = Picture(100, 100, (Circle(50, 50, 10, subject=ONE),))
    assert subject_at(picture, 57, 57, METRICS, reach=0) == ONE
    assert subject_at(picture, 58, 58, METRICS, reach=0) is None
    assert subject_at(picture, 58, 58, METRICS, reach=2) == ONE


def test_a_place_without_colours_can_be_pointed_at() -> None:
    assert subject_at(Picture(9, 9, (Rectangle(1, 1, 5, 5, subject=ONE),)), 3, 3, METRICS) == ONE


def test_a_thing_lies_around_all_its_shapes() -> None:
    picture = Picture(
        100,
        100,
        (
            Line(10, 10, 40, 10, Role.INK, 2, subject=ONE),
            Polygon(((50, 5), (60, 5), (55, 20)), Role.INK, ONE),
            Rectangle(80, 80, 10, 10, Role.CARD, Role.INK, 2, subject=THREE),
        ),
    )
    assert place_of(picture, ONE, METRICS) == Box(9, 5, 60, 20)
    assert place_of(picture, THREE, METRICS) == Box(79, 79, 91, 91)
    assert place_of(picture, TWO, METRICS) is None
    assert subjects_in(picture) == (ONE, THREE)


def test_a_text_lies_where_its_anchor_says() -> None:
    width = METRICS.width("Em", 10)

    def box(anchor: Anchor) -> Box | None:
        return place_of(Picture(9, 9, (Text(50, 20, "Em", 10, Role.INK, anchor=anchor, subject=ONE),)), ONE, METRICS)

    start, middle, end = box(Anchor.START), box(Anchor.MIDDLE), box(Anchor.END)
    assert start is not None
    assert middle is not None
    assert end is not None
    assert (start.left, middle.left, end.left) == (50, 50 - width / 2, 50 - width)
    assert start.bottom == 20

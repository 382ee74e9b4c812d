"""Pictures as SVG: valid, self-contained, described, the same each time."""

from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from core.drawing.colours import DARK, LIGHT
from core.drawing.keyboard import LitKey, lay_out_keyboard
from core.drawing.lesson_sheet import lay_out_row
from core.drawing.shapes import Anchor, Circle, Line, Picture, Polygon, Rectangle, Role, Text
from core.drawing.sheet_style import sheet_style
from core.drawing.svg import number, write_svg
from core.song.note import Hand
from core.song.song import Song
from tests.helpers.drawn_songs import ferry, hard_songs
from tests.helpers.font_metrics import font_metrics
from tests.helpers.golden import check_golden

METRICS = font_metrics()
SVG = "{http://www.w3.org/2000/svg}"
ONE_OF_EACH = Picture(
    40,
    30,
    (
        Line(0, 1, 2.5, 3.333, Role.INK, 1.5, dash=2),
        Rectangle(1, 2, 3, 4, Role.CARD, Role.CARD_EDGE, 1, corner=2),
        Rectangle(1, 2, 3, 4),
        Circle(5, 6, 7, None, Role.RIGHT, 1.5),
        Polygon(((0, 0), (1, 0), (0.5, 1)), Role.INK),
        Text(3, 4, "C♯m7♭5/G <&>", 13, Role.LEFT, bold=True, anchor=Anchor.MIDDLE),
    ),
    "A picture. With one of each.",
)


def test_each_shape_becomes_its_element_and_a_place_to_point_at_becomes_none() -> None:
    root = ElementTree.fromstring(write_svg(ONE_OF_EACH, LIGHT))
    names = [element.tag.removeprefix(SVG) for element in root]
    assert names == ["title", "desc", "line", "rect", "circle", "polygon", "text"]
    text = root.find(f"{SVG}text")
    assert text is not None
    assert text.text == "C♯m7♭5/G <&>"
    assert text.get("fill") == LIGHT[Role.LEFT]
    assert text.get("font-weight") == "600"
    assert text.get("text-anchor") == "middle"


def test_a_picture_has_a_title_and_a_description_that_it_points_to() -> None:
    root = ElementTree.fromstring(write_svg(ONE_OF_EACH, LIGHT, identifier="one"))
    title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title is not None
    assert description is not None
    assert title.text == "A picture"
    assert description.text == "A picture. With one of each."
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == f"{title.get('id')} {description.get('id')}" == "one-title one-description"


def test_colours_follow_the_theme_or_the_page() -> None:
    assert LIGHT[Role.RIGHT] in write_svg(ONE_OF_EACH, LIGHT)
    assert DARK[Role.RIGHT] in write_svg(ONE_OF_EACH, DARK)
    page = write_svg(ONE_OF_EACH, None)
    assert 'stroke="var(--right)"' in page
    assert "#" not in page


def test_text_is_asked_for_in_the_projects_own_font() -> None:
    assert "'Atkinson Hyperlegible Next', 'Phrasebench Signs', sans-serif" in write_svg(ONE_OF_EACH, LIGHT)


@given(st.text())
def test_any_text_gives_a_well_formed_picture(text: str) -> None:
    words = Picture(10, 10, (Text(0, 0, text, 10, Role.INK),), text)
    ElementTree.fromstring(write_svg(words, LIGHT, text, style="a>b{}"))


@pytest.mark.parametrize(
    ("value", "text"), [(1.0, "1"), (1.25, "1.25"), (1.999, "2"), (-0.001, "0"), (0.1, "0.1"), (-3.5, "-3.5")]
)
def test_lengths_have_two_decimals_at_most(value: float, text: str) -> None:
    assert number(value) == text


@pytest.mark.parametrize("song", hard_songs(), ids=lambda song: song.title)
def test_every_row_is_well_formed(song: Song) -> None:
    style = sheet_style(song, METRICS, 700)
    layout = lay_out_row(song, 1, style, METRICS)
    ElementTree.fromstring(write_svg(layout.picture, None))


def test_the_row_looks_as_it_was_looked_at() -> None:
    song = ferry()
    style = sheet_style(song, METRICS, 1000)
    layout = lay_out_row(song, 2, style, METRICS, 2, selected=True)
    moment = layout.position_line(song.parts[1].notes[4].onset + 20_160)
    picture = replace(layout.picture, shapes=(*layout.picture.shapes, moment))
    check_golden("drawing/row.svg", write_svg(picture, LIGHT) + "\n")
    check_golden("drawing/row_dark.svg", write_svg(picture, DARK) + "\n")


def test_the_hard_row_looks_as_it_was_looked_at() -> None:
    song = next(song for song in hard_songs() if song.title == "Crowded")
    layout = lay_out_row(song, 2, sheet_style(song, METRICS, 800), METRICS)
    check_golden("drawing/crowded_row.svg", write_svg(layout.picture, LIGHT) + "\n")


def test_the_keyboard_looks_as_it_was_looked_at() -> None:
    right, left = Hand.RIGHT, Hand.LEFT
    lit = {55: LitKey(left, 5), 61: LitKey(left, 3), 64: LitKey(left, 1), 69: LitKey(right, 3), 71: LitKey(right, 4)}
    picture = lay_out_keyboard(36, 96, 1000, 140, lit | {73: LitKey(right, 5)}, METRICS)
    check_golden("drawing/keyboard.svg", write_svg(picture, LIGHT) + "\n")

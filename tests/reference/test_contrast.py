"""Contrast of every pair of colours in use.

The formula and the threshold are those of the W3C's Web Content Accessibility Guidelines 2.2: 'contrast ratio', and
success criteria 1.4.3 (text, 4.5 : 1) and 1.4.11 (parts of pictures, 3 : 1).
"""

from itertools import pairwise
from typing import get_args

import pytest

from core.drawing.colours import DARK, LIGHT, TEXT_PAIRS, Theme, contrast
from core.drawing.hit_testing import box_of
from core.drawing.keyboard import LitKey, lay_out_keyboard
from core.drawing.lesson_sheet import RowFacts, lay_out_row
from core.drawing.row_marks import Mark, Sign, draw_marks
from core.drawing.shapes import Circle, Picture, Polygon, Rectangle, Role, Subject, Text
from core.drawing.sheet_style import sheet_style
from core.session.analysis import analyse_part
from core.song.note import Hand
from tests.helpers.drawn_songs import ferry, hard_songs
from tests.helpers.font_metrics import font_metrics

METRICS = font_metrics()
THEMES = pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
EDGES = (
    (Role.RIGHT, Role.CARD),
    (Role.RIGHT, Role.RIGHT_FILL),
    (Role.LEFT, Role.CARD),
    (Role.LEFT, Role.LEFT_FILL),
    (Role.INK, Role.CARD),
    (Role.INK, Role.LEFT_FILL),
    (Role.SELECTED, Role.CARD),
    (Role.SELECTED, Role.GROUND),
    (Role.RIGHT_KEY, Role.RIGHT_KEY_FILL),
    (Role.LEFT_KEY, Role.LEFT_KEY_FILL),
    (Role.RIGHT_KEY, Role.WHITE_KEY),
    (Role.LEFT_KEY, Role.WHITE_KEY),
    (Role.BLACK_KEY, Role.WHITE_KEY),
    (Role.WARNING, Role.CARD),
    (Role.PLAYED_KEY, Role.PLAYED_KEY_FILL),
    (Role.PLAYED_KEY, Role.WHITE_KEY),
)
"""(line, ground) of what must be told apart without reading."""


@pytest.mark.parametrize(
    ("first", "second", "ratio"),
    [
        ("#000000", "#FFFFFF", 21.0),  # WCAG 2.2, 'contrast ratio': from 1 to 21
        ("#FFFFFF", "#FFFFFF", 1.0),
        ("#767676", "#FFFFFF", 4.54),  # the lightest grey that passes on white; from memory, widely published
        ("#777777", "#FFFFFF", 4.48),  # and its neighbour, which fails
        ("#FF0000", "#FFFFFF", 4.0),  # 1.05 / (0.2126 + 0.05)
    ],
)
def test_the_formula_gives_published_figures(first: str, second: str, ratio: float) -> None:
    assert contrast(first, second) == pytest.approx(ratio, abs=0.005)
    assert contrast(second, first) == contrast(first, second)


@THEMES
def test_every_role_has_a_colour(theme: Theme) -> None:
    assert set(theme) == set(Role)


@THEMES
@pytest.mark.parametrize("pair", TEXT_PAIRS, ids=lambda pair: f"{pair[0].value} on {pair[1].value}")
def test_every_letter_stands_out_from_its_ground(theme: Theme, pair: tuple[Role, Role]) -> None:
    letter, ground = pair
    assert contrast(theme[letter], theme[ground]) >= 4.5


@THEMES
@pytest.mark.parametrize("pair", EDGES, ids=lambda pair: f"{pair[0].value} on {pair[1].value}")
def test_every_line_that_means_something_stands_out_from_its_ground(theme: Theme, pair: tuple[Role, Role]) -> None:
    line, ground = pair
    assert contrast(theme[line], theme[ground]) >= 3.0


def drawn() -> list[Picture]:
    pictures = []
    for song in hard_songs():
        style = sheet_style(song, METRICS, 800)
        for number in range(1, len(song.parts) + 1):
            facts = RowFacts.of(analyse_part(song, number), 60.0)
            choices = {"selected": True, "playing": Subject("play-part", number), "selected_chord": 0}
            pictures.append(lay_out_row(song, number, style, METRICS, 0, facts, **choices).picture)  # type: ignore[arg-type]  # choices of several types are handed on
    lit = {60: LitKey(Hand.LEFT, 1), 61: LitKey(Hand.LEFT, 2), 64: LitKey(Hand.RIGHT, 1), 66: LitKey(Hand.RIGHT, 2)}
    names = {60: "C", 61: "C♯", 62: "D", 64: "E", 66: "F♯"}
    pictures.append(lay_out_keyboard(48, 72, 700, 140, lit, METRICS, names))
    pictures.append(lay_out_keyboard(48, 72, 700, 140, {60: LitKey(Hand.RIGHT, 1, shared=True)}, METRICS))
    played = {60: LitKey(None, letter="C"), 61: LitKey(None, letter="C♯")}
    wanted = {midi: LitKey(Hand.RIGHT if midi > 63 else Hand.LEFT, 3, wanted=True) for midi in (62, 63, 64, 66)}
    pictures.append(lay_out_keyboard(48, 72, 700, 140, {**played, **wanted}, METRICS, names))
    pictures.append(marked())
    return pictures


def marked() -> Picture:
    """A row with every mark on its beads, in the order they are painted."""
    layout = lay_out_row(ferry(), 2, sheet_style(ferry(), METRICS, 900), METRICS)
    shapes = list(layout.picture.shapes)
    for place, sign in enumerate(get_args(Sign)):
        shapes.extend(draw_marks(layout, Subject("note", 2, place), (Mark(sign),), METRICS))
    return Picture(layout.picture.width, layout.picture.height, tuple(shapes))


def grounds(picture: Picture, text: Text) -> set[Role]:
    """What lies directly under the middle of a text."""
    box = box_of(text, METRICS)
    x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
    ground = Role.GROUND
    for shape in picture.shapes[: picture.shapes.index(text)]:
        if (
            isinstance(shape, Rectangle | Circle | Polygon)
            and shape.fill is not None
            and box_of(shape, METRICS).holds(x, y)
        ):
            ground = shape.fill
    return {ground}


def test_the_pairs_that_are_checked_are_all_that_is_drawn() -> None:
    used = {
        (text.role, ground)
        for picture in drawn()
        for text in picture.shapes
        if isinstance(text, Text)
        for ground in grounds(picture, text)
    }
    assert len(used) > 8
    assert used <= set(TEXT_PAIRS)


def test_the_pictures_really_overlap_in_places_that_count() -> None:
    song = ferry()
    picture = lay_out_row(song, 2, sheet_style(song, METRICS, 900), METRICS).picture
    letter = next(shape for shape in picture.shapes if isinstance(shape, Text) and shape.text == "C♯")
    assert grounds(picture, letter) == {Role.RIGHT_FILL}
    tones = next(shape for shape in picture.shapes if isinstance(shape, Text) and shape.text == "A C♯ E")
    assert grounds(picture, tones) == {Role.LEFT_FILL}
    assert all(first is not second for first, second in pairwise(picture.shapes))

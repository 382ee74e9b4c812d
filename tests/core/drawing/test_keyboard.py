"""The keyboard: keys in their places, lit by hand, middle C marked."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.drawing.hand_brackets import BRACKET_ROOM, HandBracket
from core.drawing.hit_testing import box_of, subject_at, subjects_in
from core.drawing.keyboard import SIZES, LitKey, is_black, keyboard_range, lay_out_keyboard, range_of_size
from core.drawing.shapes import Circle, Line, Picture, Polygon, Rectangle, Role, Subject, Text
from core.song.errors import DomainError
from core.song.note import Hand
from tests.helpers.font_metrics import font_metrics

METRICS = font_metrics()
RIGHT, LEFT = Hand.RIGHT, Hand.LEFT


def keyboard(
    first: int = 36, last: int = 96, lit: dict[int, LitKey] | None = None, width: float = 1000, **choices: object
) -> Picture:
    return lay_out_keyboard(first, last, width, 140, lit or {}, METRICS, **choices)  # type: ignore[arg-type]  # every picture item here is the shape the test asks for


def keys(picture: Picture, role: Role) -> list[Rectangle]:
    return [shape for shape in picture.shapes if isinstance(shape, Rectangle) and shape.fill is role]


def test_a_whole_piano_has_fifty_two_white_and_thirty_six_black_keys() -> None:
    picture = keyboard(21, 108)
    assert len(keys(picture, Role.WHITE_KEY)) == 52
    assert len(keys(picture, Role.BLACK_KEY)) == 36


@pytest.mark.parametrize(("first", "last", "count"), [(48, 72, 25), (36, 96, 61), (28, 103, 76), (21, 108, 88)])
def test_keyboards_of_every_usual_size_have_all_their_keys(first: int, last: int, count: int) -> None:
    assert len(subjects_in(keyboard(first, last))) == count


def test_a_keyboard_ends_with_white_keys() -> None:
    subjects = [subject.index for subject in subjects_in(keyboard(61, 70))]
    assert min(subjects) == 60
    assert max(subjects) == 71


def test_black_keys_lie_over_the_gap_between_their_neighbours() -> None:
    picture = keyboard(48, 72)
    places = {shape.subject.index: shape for shape in picture.shapes if isinstance(shape, Rectangle) and shape.subject}
    for midi, key in places.items():
        if is_black(midi):
            below, above = places[midi - 1], places[midi + 1]
            assert below.x < key.x < above.x < key.x + key.width < above.x + above.width


def test_the_groups_of_black_keys_are_spread_outwards() -> None:
    picture = keyboard(48, 72)
    places = {shape.subject.index: shape for shape in picture.shapes if isinstance(shape, Rectangle) and shape.subject}

    def offset(midi: int) -> float:
        return places[midi].x + places[midi].width / 2 - places[midi + 1].x

    assert offset(49) < 0 < offset(51)
    assert offset(54) < offset(56) < offset(58)


def test_lit_keys_wear_their_hands_colour_and_badge() -> None:
    picture = keyboard(lit={55: LitKey(LEFT, 5), 61: LitKey(LEFT, 3), 69: LitKey(RIGHT, 3), 73: LitKey(RIGHT, 5)})
    by_key: dict[int, list[object]] = {}
    for shape in picture.shapes:
        if shape.subject:
            by_key.setdefault(shape.subject.index, []).append(shape)
    assert [type(shape) for shape in by_key[55]] == [Rectangle, Rectangle, Text]
    assert [type(shape) for shape in by_key[69]] == [Rectangle, Circle, Text]
    assert by_key[55][0].fill is Role.LEFT_KEY_FILL  # type: ignore[attr-defined]  # every picture item here is the shape the test asks for
    assert by_key[61][0].fill is Role.LEFT_KEY  # type: ignore[attr-defined]  # every picture item here is the shape the test asks for
    assert by_key[69][0].fill is Role.RIGHT_KEY_FILL  # type: ignore[attr-defined]  # every picture item here is the shape the test asks for
    assert by_key[73][0].fill is Role.RIGHT_KEY  # type: ignore[attr-defined]  # every picture item here is the shape the test asks for
    assert [by_key[key][-1].text for key in (55, 61, 69, 73)] == ["5", "3", "3", "5"]  # type: ignore[attr-defined]  # every picture item here is the shape the test asks for


def test_a_key_that_both_hands_play_shows_both() -> None:
    picture = keyboard(lit={64: LitKey(RIGHT, 1, shared=True)})
    fills = {getattr(shape, "fill", None) for shape in picture.shapes if shape.subject == Subject("key", index=64)}
    assert {Role.LEFT_KEY_FILL, Role.RIGHT_KEY_FILL, Role.LEFT_KEY, Role.RIGHT_KEY} <= fills


@pytest.mark.parametrize(("width", "mark"), [(1800.0, "middle C"), (1000.0, "mid C"), (500.0, "C")])
def test_middle_c_is_marked_as_fully_as_its_key_allows(width: float, mark: str) -> None:
    texts = [shape for shape in keyboard(width=width).shapes if isinstance(shape, Text)]
    assert [(text.text, text.subject) for text in texts] == [(mark, Subject("key", index=60))]


def test_keys_are_named_where_asked() -> None:
    picture = keyboard(48, 72, names={64: "E4", 66: "F♯4"}, lit={66: LitKey(RIGHT)})
    assert {shape.text for shape in picture.shapes if isinstance(shape, Text)} >= {"E4", "F♯4"}


def test_a_black_key_lies_over_the_white_ones_when_pointed_at() -> None:
    picture = keyboard(48, 72, width=450)
    black = next(s for s in picture.shapes if isinstance(s, Rectangle) and s.subject == Subject("key", index=61))
    assert subject_at(picture, black.x + 2, 20, METRICS) == Subject("key", index=61)
    assert subject_at(picture, black.x + 2, 130, METRICS) == Subject("key", index=60)


@pytest.mark.parametrize(("first", "last"), [(-1, 60), (70, 60), (60, 128)])
def test_an_impossible_range_is_refused(first: int, last: int) -> None:
    with pytest.raises(DomainError, match="range of a keyboard"):
        keyboard(first, last)


@settings(max_examples=60, deadline=None)
@given(played=st.sets(st.integers(21, 108)), width=st.floats(300, 1600), height=st.floats(60, 240))
def test_a_chosen_range_shows_every_key_played_and_draws_inside_its_size(
    played: set[int], width: float, height: float
) -> None:
    first, last = keyboard_range(played)
    assert 21 <= first <= last <= 108
    assert all(first <= midi <= last for midi in played)
    assert not is_black(first)
    assert not is_black(last)
    lit = {midi: LitKey(RIGHT if midi % 2 else LEFT, 1 + midi % 5, shared=midi % 7 == 0) for midi in played}
    picture = lay_out_keyboard(first, last, width, height, lit, METRICS)
    for shape in picture.shapes:
        box = box_of(shape, METRICS)
        assert box.left >= -0.01
        assert box.right <= width + 0.01
        assert box.top >= -1.0
        assert box.bottom <= height + 0.01


@pytest.mark.parametrize("size", list(SIZES))
def test_every_usual_size_holds_as_many_of_the_keys_as_it_can(size: int) -> None:
    first, last = range_of_size(size, {72, 79, 84})
    assert last - first + 1 == size
    assert first >= 21
    assert last <= 108
    assert all(first <= midi <= last for midi in (72, 79, 84))


def test_a_keyboard_of_another_size_is_refused() -> None:
    with pytest.raises(DomainError, match="size of a keyboard"):
        range_of_size(60, set())


def test_brackets_reach_from_the_thumb_to_the_little_finger_above_the_keys() -> None:
    brackets = (HandBracket(Hand.RIGHT, 60, 67), HandBracket(Hand.LEFT, 55, 48))
    picture = lay_out_keyboard(48, 72, 700, 140, {}, METRICS, brackets=brackets)
    plain = lay_out_keyboard(48, 72, 700, 140, {}, METRICS)
    assert picture.height == plain.height
    keys = [shape for shape in picture.shapes if isinstance(shape, Rectangle) and shape.subject]
    assert min(key.y for key in keys) >= BRACKET_ROOM
    for role, low, high in ((Role.RIGHT, 60, 67), (Role.LEFT, 48, 55)):
        lines = [shape for shape in picture.shapes if isinstance(shape, Line) and shape.role is role]
        left = next(key for key in keys if key.subject == Subject("key", index=low))
        right = next(key for key in keys if key.subject == Subject("key", index=high))
        assert min(line.x1 for line in lines) == pytest.approx(left.x + 1)
        assert max(line.x2 for line in lines) == pytest.approx(right.x + right.width - 1)
        assert all(max(line.y1, line.y2) <= BRACKET_ROOM for line in lines)


def test_a_bracket_that_leaves_the_keyboard_ends_at_its_edge() -> None:
    outside = (HandBracket(Hand.RIGHT, 70, 90), HandBracket(Hand.LEFT, 30, 20))
    picture = lay_out_keyboard(48, 72, 700, 140, {}, METRICS, brackets=outside)
    lines = [shape for shape in picture.shapes if isinstance(shape, Line) and shape.role in (Role.RIGHT, Role.LEFT)]
    assert {line.role for line in lines} == {Role.RIGHT}
    assert max(line.x2 for line in lines) <= 700


def test_a_key_that_no_hand_is_meant_to_play_is_grey_and_carries_its_name_on_a_plate() -> None:
    picture = keyboard(lit={62: LitKey(None, letter="D"), 66: LitKey(None, letter="F♯")})
    plates = [shape for shape in picture.shapes if isinstance(shape, Rectangle) and shape.fill is Role.PLAYED_KEY]
    assert {plate.subject.index for plate in plates if plate.subject} == {62, 66}
    named = {
        shape.subject.index: shape.text
        for shape in picture.shapes
        if isinstance(shape, Text) and shape.role is Role.ON_PLAYED and shape.subject
    }
    assert named == {62: "D", 66: "F♯"}
    assert all(plate.width > plate.height for plate in plates if plate.corner > 0 and plate.edge is Role.ON_PLAYED)


def test_a_key_that_the_music_waits_for_has_a_hollow_badge_under_an_arrow() -> None:
    for midi in (64, 66):
        for hand in Hand:
            picture = keyboard(lit={midi: LitKey(hand, 3, wanted=True)})
            arrow = next(shape for shape in picture.shapes if isinstance(shape, Polygon))
            badge = next(
                shape
                for shape in picture.shapes
                if isinstance(shape, Circle | Rectangle)
                and shape.subject == Subject("key", index=midi)
                and shape.edge in (Role.RIGHT_KEY, Role.LEFT_KEY)
            )
            assert badge.fill in (Role.RIGHT_KEY_FILL, Role.LEFT_KEY_FILL)
            assert isinstance(badge, Circle) == (hand is Hand.RIGHT)
            assert arrow.points[0][1] < box_of(badge, METRICS).top
            assert "The music waits for 1 of them." in picture.description

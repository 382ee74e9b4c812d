"""Lengths written as note values."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.formats.note_values import note_values


@pytest.mark.parametrize(
    ("ticks", "values"),
    [
        (10_080, [("quarter", 0, (1, 1))]),
        (15_120, [("quarter", 1, (1, 1))]),
        (17_640, [("quarter", 2, (1, 1))]),
        (12_600, [("quarter", 0, (1, 1)), ("16th", 0, (1, 1))]),
        (50_400, [("whole", 0, (1, 1)), ("quarter", 0, (1, 1))]),
        (3_360, [("eighth", 0, (3, 2))]),
        (6_720, [("quarter", 0, (3, 2))]),
        (2_016, [("16th", 0, (5, 4))]),
        (1_440, [("16th", 0, (7, 4))]),
        (13_440, [("half", 0, (3, 2))]),
        (23_520, [("half", 0, (1, 1)), ("eighth", 0, (3, 2))]),
    ],
)
def test_a_length_is_the_fewest_and_plainest_values(ticks: int, values: list[tuple[str, int, tuple[int, int]]]) -> None:
    assert [(value.type, value.dots, value.tuplet) for value in note_values(ticks)] == values


@given(st.integers(1, 100_000))
def test_values_add_up_to_the_length(ticks: int) -> None:
    assert sum(value.ticks for value in note_values(ticks)) == ticks


def test_a_length_that_no_values_make_is_one_without_a_type() -> None:
    assert [(value.ticks, value.type) for value in note_values(1)] == [(1, "")]

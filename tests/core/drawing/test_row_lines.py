"""Rows are wrapped at bar lines, evenly, and never lose a tick."""

from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from core.drawing.row_lines import bars_within, break_lines
from core.song.metre import Bar, Metre, MetreChange, bars_of
from core.song.time import TICKS_PER_QUARTER as QUARTER

BAR = 4 * QUARTER


def four_four(bars: int, pickup: int = 0) -> tuple[Bar, ...]:
    return bars_of((MetreChange(0, Metre()),), pickup, pickup + bars * BAR)


def test_a_row_that_fits_is_one_line() -> None:
    assert break_lines(four_four(3), 0, 3 * BAR, 3 * BAR) == ((0, 3 * BAR),)


def test_a_row_without_a_limit_is_one_line() -> None:
    assert break_lines(four_four(9), 0, 9 * BAR, None) == ((0, 9 * BAR),)


def test_lines_are_as_few_as_fit_and_the_longest_is_as_short_as_the_bars_allow() -> None:
    five = break_lines(four_four(5), 0, 5 * BAR, 4 * BAR + 5)
    assert [end - start for start, end in five] == [3 * BAR, 2 * BAR]
    four = break_lines(four_four(4), 0, 4 * BAR, 3 * BAR)
    assert [end - start for start, end in four] == [2 * BAR, 2 * BAR]


def test_a_part_that_begins_inside_a_bar_is_broken_at_the_songs_bar_lines() -> None:
    bars = four_four(5)
    onset, duration = 3 * QUARTER, 4 * BAR
    lines = break_lines(bars_within(bars, onset, duration), onset, duration, 2 * BAR)
    assert lines == ((0, QUARTER + BAR), (QUARTER + BAR, QUARTER + 2 * BAR), (QUARTER + 2 * BAR, 4 * BAR))


def test_a_bar_too_wide_for_the_row_is_broken_at_its_beats() -> None:
    lines = break_lines(four_four(1), 0, BAR, int(2.5 * QUARTER))
    assert lines == ((0, 2 * QUARTER), (2 * QUARTER, BAR))


def test_a_compound_bar_is_broken_at_its_dotted_beats() -> None:
    bars = bars_of((MetreChange(0, Metre(12, 8)),), 0, 6 * QUARTER)
    lines = break_lines(bars, 0, 6 * QUARTER, 4 * QUARTER)
    assert lines == ((0, 3 * QUARTER), (3 * QUARTER, 6 * QUARTER))


def test_the_bars_within_a_part_are_those_it_touches() -> None:
    bars = four_four(4, pickup=QUARTER)
    assert [bar.number for bar in bars_within(bars, 0, QUARTER + BAR)] == [0, 1]
    assert [bar.number for bar in bars_within(bars, 2 * QUARTER, BAR)] == [1, 2]


@settings(max_examples=60)
@given(
    count=st.integers(1, 12),
    unit=st.sampled_from([2, 4, 8, 16]),
    bars=st.integers(1, 12),
    pickup=st.integers(0, 3),
    start=st.integers(0, 20),
    longest=st.integers(1, 40),
)
def test_lines_follow_on_another_and_hold_what_fits(
    count: int, unit: int, bars: int, pickup: int, start: int, longest: int
) -> None:
    metre = Metre(count, unit)
    up = min(pickup, count - 1) * metre.unit_ticks
    length = up + bars * metre.bar_ticks
    onset = min(start * QUARTER // 4, length - 1)
    room = longest * QUARTER // 4
    all_bars = bars_of((MetreChange(0, metre),), up, length)
    lines = break_lines(bars_within(all_bars, onset, length - onset), onset, length - onset, room)
    assert lines[0][0] == 0
    assert lines[-1][1] == length - onset
    assert all(before[1] == after[0] for before, after in pairwise(lines))
    assert all(0 < end - begin <= room for begin, end in lines)

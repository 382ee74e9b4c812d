from fractions import Fraction

import pytest

from core.song.errors import DomainError
from core.song.metre import Metre, MetreChange, bar_at, bars_of
from core.song.tempo import TempoChange, seconds_between
from core.song.time import TICKS_PER_QUARTER, quarters, ticks


@pytest.mark.parametrize("tuplet", [3, 5, 7])
def test_tuplets_down_to_the_thirty_second_are_exact(tuplet: int) -> None:
    value = Fraction(1, 8) * Fraction(4, tuplet) / 4
    assert quarters(ticks(value)) == value


def test_a_pickup_is_bar_nought_and_bar_one_follows_it() -> None:
    metre = Metre(3, 4)
    bars = bars_of((MetreChange(0, metre),), TICKS_PER_QUARTER, TICKS_PER_QUARTER + 2 * metre.bar_ticks)
    assert [(bar.number, quarters(bar.onset)) for bar in bars] == [
        (0, Fraction(0)),
        (1, Fraction(1)),
        (2, Fraction(4)),
    ]
    assert bar_at(bars, 0).number == 0
    assert bar_at(bars, TICKS_PER_QUARTER).number == 1
    assert bar_at(bars, 10**9).number == 2


def test_a_metre_change_inside_a_bar_cuts_it_short() -> None:
    six_eight = Metre(6, 8)
    short = ticks(Fraction(5, 2))
    bars = bars_of((MetreChange(0, six_eight), MetreChange(short, six_eight)), 0, short + six_eight.bar_ticks)
    assert [bar.duration for bar in bars] == [short, six_eight.bar_ticks]


def test_compound_metres_are_felt_in_dotted_beats() -> None:
    assert Metre(6, 8).beats == 2
    assert Metre(12, 8).beats == 4
    assert Metre(3, 4).beats == 3
    assert Metre(3, 8).beats == 3
    assert Metre(5, 4).beats == 5


@pytest.mark.parametrize("text", ["", "4", "4/3", "0/4", "four/four", "4/4/4"])
def test_what_is_no_metre_is_refused(text: str) -> None:
    with pytest.raises(DomainError):
        Metre.parse(text)


def test_seconds_follow_the_tempo_map() -> None:
    changes = [TempoChange(0, 60), TempoChange(2 * TICKS_PER_QUARTER, 120)]
    assert seconds_between(changes, 0, 4 * TICKS_PER_QUARTER) == pytest.approx(3.0)
    assert seconds_between(changes, TICKS_PER_QUARTER, 3 * TICKS_PER_QUARTER) == pytest.approx(1.5)
    assert seconds_between(changes, 0, 4 * TICKS_PER_QUARTER, speed=0.5) == pytest.approx(6.0)

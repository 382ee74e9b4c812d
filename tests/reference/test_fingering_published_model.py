"""The published fingering model reproduces its published figures.

Source: Parncutt, Sloboda, Clarke, Raekallio & Desain (1997), "An ergonomic model of keyboard fingering for melodic
fragments", Music Perception 14(4):341–382, appendix: the ten least difficult fingerings of five fragments from
Czerny op. 821, with totals and points by rule, read from a public transcription; the paper itself was not opened.
"""

from __future__ import annotations

from itertools import product

import pytest

from core.teaching.published_fingering_model import best_fingering, sub_costs

FRAGMENTS = {
    "A": (76, 79, 77, 79, 76, 77, 74, 76),
    "B": (76, 73, 74, 78),
    "C": (64, 61, 64, 69, 64),
    "D": (61, 65, 63, 66, 65, 68, 66),
    "E": (81, 92, 93, 88, 89, 85, 86, 80),
}
CYCLIC = {"B"}

# Fragment, fingers, total, and points of the rules: stretch, small span, large span, position change count and size,
# weak finger, three-four-five, three to four, four on black, thumb on black, five on black, thumb passing.
PUBLISHED = """
A 24342313 6 0 1 0 1 1 2 0 1 0 0 0 0
A 13231213 7 0 1 0 2 4 0 0 0 0 0 0 0
A 14342313 8 0 3 0 1 1 2 0 1 0 0 0 0
A 35453423 8 0 0 0 0 0 4 3 1 0 0 0 0
A 13231323 9 0 2 2 2 3 0 0 0 0 0 0 0
A 13231423 9 0 4 0 1 3 1 0 0 0 0 0 0
A 13242313 9 0 3 0 3 2 1 0 0 0 0 0 0
A 12142313 10 0 4 0 3 2 1 0 0 0 0 0 0
A 13232313 10 0 1 2 3 4 0 0 0 0 0 0 0
A 24342323 10 0 0 2 2 3 2 0 1 0 0 0 0
B 3124 7 0 0 0 0 0 1 0 0 1 5 0 0
B 3214 7 0 3 2 0 0 1 0 0 1 0 0 0
B 4235 7 0 0 0 0 0 2 1 0 0 0 4 0
B 4215 11 0 5 0 0 0 2 0 0 0 0 4 0
B 1235 14 0 9 0 0 0 1 0 0 0 0 4 0
B 2124 14 0 2 0 2 4 1 0 0 0 5 0 0
B 3125 14 0 4 0 0 0 1 0 0 0 5 4 0
B 3215 14 0 7 2 0 0 1 0 0 0 0 4 0
B 3235 15 0 2 2 2 4 1 0 0 0 0 4 0
B 4125 15 0 4 0 0 0 2 0 0 0 5 4 0
C 21241 9 0 0 2 1 0 1 0 0 0 5 0 0
C 21251 9 0 2 0 1 0 1 0 0 0 5 0 0
C 31241 10 0 0 2 2 0 1 0 0 0 5 0 0
C 31251 10 0 2 0 2 0 1 0 0 0 5 0 0
C 32351 10 0 2 6 1 0 1 0 0 0 0 0 0
C 42351 10 0 2 4 2 0 2 0 0 0 0 0 0
C 31351 11 0 2 2 1 0 1 0 0 0 5 0 0
C 42151 11 0 8 0 1 0 2 0 0 0 0 0 0
C 21351 12 0 2 2 2 0 1 0 0 0 5 0 0
C 32151 12 0 8 2 1 0 1 0 0 0 0 0 0
D 1323132 12 0 2 2 2 3 0 0 0 0 3 0 0
D 1324132 12 0 4 0 1 3 1 0 0 0 3 0 0
D 2412132 13 0 3 0 2 4 1 0 0 0 3 0 0
D 1212132 14 0 0 0 3 5 0 0 0 0 6 0 0
D 1213242 14 0 2 0 2 3 1 0 0 0 6 0 0
D 1323142 14 0 6 2 1 1 1 0 0 0 3 0 0
D 1323242 15 0 2 2 3 4 1 0 0 0 3 0 0
D 2413242 15 0 5 0 2 3 2 0 0 0 3 0 0
D 2435132 15 0 6 0 1 3 2 1 0 0 0 2 0
D 1213232 16 0 0 2 3 5 0 0 0 0 6 0 0
E 14523152 24 0 6 2 2 6 3 0 0 0 5 0 0
E 14523142 28 2 4 6 2 6 3 0 0 0 5 0 0
E 14512152 31 0 8 2 3 10 3 0 0 0 5 0 0
E 14513152 32 0 10 2 3 9 3 0 0 0 5 0 0
E 14515342 32 2 8 6 3 7 4 1 1 0 0 0 0
E 14515352 32 0 12 2 4 10 4 0 0 0 0 0 0
E 14524152 32 0 11 2 3 7 4 0 0 0 5 0 0
E 13412152 33 2 6 4 3 10 2 0 1 0 5 0 0
E 13523152 33 2 10 4 3 7 2 0 0 0 5 0 0
E 14515452 33 2 8 6 3 9 5 0 0 0 0 0 0
"""
ROWS = [line.split() for line in PUBLISHED.split("\n") if line]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row[0]} {row[1]}")
def test_every_published_total_and_every_sub_cost_is_reproduced(row: list[str]) -> None:
    fragment, fingers, total, *points = row
    costs = sub_costs(FRAGMENTS[fragment], [int(finger) for finger in fingers], cyclic=fragment in CYCLIC)
    assert costs.as_tuple == tuple(int(point) for point in points)
    assert costs.total == int(total)


def test_all_fifty_published_fingerings_are_checked() -> None:
    assert len(ROWS) == 50
    assert {row[0] for row in ROWS} == set(FRAGMENTS)


@pytest.mark.parametrize("fragment", [name for name in FRAGMENTS if name not in CYCLIC])
def test_the_search_is_never_worse_than_the_best_published_fingering(fragment: str) -> None:
    midis = FRAGMENTS[fragment]
    best_published = min(int(row[2]) for row in ROWS if row[0] == fragment)
    assert sub_costs(midis, best_fingering(midis)).total <= best_published


@pytest.mark.parametrize("fragment", list(FRAGMENTS))
def test_the_search_finds_what_trying_every_fingering_finds(fragment: str) -> None:
    midis = FRAGMENTS[fragment][:5]
    least = min(sub_costs(midis, fingers).total for fingers in product((1, 2, 3, 4, 5), repeat=len(midis)))
    assert sub_costs(midis, best_fingering(midis)).total == least


def test_the_best_of_every_fingering_of_the_cyclic_fragment_is_the_published_best() -> None:
    least = min(sub_costs(FRAGMENTS["B"], fingers, cyclic=True).total for fingers in product((1, 2, 3, 4, 5), repeat=4))
    assert least == min(int(row[2]) for row in ROWS if row[0] == "B")


def test_as_many_fingers_as_notes_are_asked_for() -> None:
    with pytest.raises(ValueError, match="2 fingers for 1 notes"):
        sub_costs([60], [1, 2])

from __future__ import annotations

from itertools import pairwise

import pytest

from core.arranging.left_hand import left_hand
from core.arranging.levels import SMALLEST_RISE, STEPS, ladder, neighbours
from core.edits.set_level import make_easier, make_harder, set_level
from core.session.analysis import part_effort
from core.song.errors import EditError
from core.song.note import Hand
from core.song.song import Song
from tests.helpers.songs import DEMO_SONGS, night_ferry


@pytest.mark.parametrize("name", DEMO_SONGS)
@pytest.mark.parametrize("hand", [None, Hand.LEFT, Hand.RIGHT])
@pytest.mark.parametrize("number", [None, 1, 2])
def test_every_step_is_harder_than_the_one_before(name: str, hand: Hand | None, number: int | None) -> None:
    levels = ladder(DEMO_SONGS[name](), number, hand)
    assert 3 <= len(levels) <= STEPS
    assert (levels[0].pattern, levels[0].harmony) == ("bass_note", "none")
    assert all(after.effort - before.effort >= SMALLEST_RISE for before, after in pairwise(levels))
    if hand is Hand.LEFT:
        assert {level.harmony for level in levels} == {"none"}
    if hand is Hand.RIGHT:
        assert {level.pattern for level in levels} == {"bass_note"}


@pytest.mark.parametrize("name", DEMO_SONGS)
def test_effort_rises_evenly_where_both_hands_may_change(name: str) -> None:
    """No step is more than half as high again as the mean one."""
    efforts = [level.effort for level in ladder(DEMO_SONGS[name]())]
    rises = [after - before for before, after in pairwise(efforts)]
    assert len(efforts) == STEPS
    assert max(rises) <= 1.5 * sum(rises) / len(rises)


@pytest.mark.parametrize("name", DEMO_SONGS)
def test_a_steps_effort_is_that_of_the_part_played_so(name: str) -> None:
    song = DEMO_SONGS[name]()
    for level in ladder(song, 2):
        assert part_effort(set_level(song, 2, level), 2).total == pytest.approx(level.effort)


def test_the_lowest_step_is_one_bass_note_to_a_chord() -> None:
    notes = left_hand(night_ferry(), 2, "bass_note")
    assert [(note.onset, note.duration) for note in notes] == [
        (chord.onset, chord.duration) for chord in night_ferry().part(2).chords
    ]


def climbed(song: Song) -> list[float]:
    efforts = [part_effort(song, 1).total]
    while neighbours(song, 1)[1] is not None:
        song = make_harder(song, 1)
        efforts.append(part_effort(song, 1).total)
    with pytest.raises(EditError, match="as full as it gets"):
        make_harder(song, 1)
    return efforts


def test_a_part_climbs_to_the_top_and_comes_down_again() -> None:
    song = night_ferry()
    efforts = climbed(song)
    assert len(efforts) >= 3
    assert efforts == sorted(efforts)
    while neighbours(song, 1)[0] is not None:
        song = make_easier(song, 1)
    assert song.part(1).teaching.pattern == "bass_note"
    assert song.part(1).notes == night_ferry().part(1).notes
    with pytest.raises(EditError, match="as easy as it gets"):
        make_easier(song, 1)
    with pytest.raises(EditError, match="no part 9"):
        make_harder(song, 9)

"""Harmony under the melody in what is played and in what it costs, while the plain version stays."""

from __future__ import annotations

import pytest

from core.edits.set_teaching import set_harmony
from core.edits.set_words import set_words
from core.performance.schedule import make_schedule
from core.performance.selection import one_part
from core.session.analysis import part_effort
from core.song.errors import EditError
from tests.helpers.songs import DEMO_SONGS, night_ferry


@pytest.mark.parametrize("name", DEMO_SONGS)
def test_harmony_is_played_and_makes_a_part_harder(name: str) -> None:
    plain = DEMO_SONGS[name]()
    song = set_harmony(plain, 2, "thirds")
    before, after = make_schedule(plain, one_part(plain, 2)), make_schedule(song, one_part(song, 2))
    keys = [(event.seconds, event.midi) for event in after.events if event.kind == "on"]
    assert set(keys) > {(event.seconds, event.midi) for event in before.events if event.kind == "on"}
    assert after.length == before.length
    assert part_effort(song, 2).total > part_effort(plain, 2).total
    assert song.part(2).notes == plain.part(2).notes
    assert set_harmony(song, 2, "none") == plain


def test_own_words_for_the_right_hand_are_to_be_read_again() -> None:
    song = set_harmony(set_words(night_ferry(), 1, "right_hand", "Sing it."), 1, "sixths")
    assert song.part(1).teaching.words[0].review


def test_what_does_not_exist_is_refused() -> None:
    with pytest.raises(EditError, match="choose one of none"):
        set_harmony(night_ferry(), 1, "tenths")

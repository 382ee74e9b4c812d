"""What a lesson's owner keeps about it besides the music."""

from __future__ import annotations

import pytest

from core.edits.set_facts import set_composer
from core.edits.set_standing import set_asked, set_rights, set_state
from core.song.errors import DomainError, EditError
from core.song.standing import Standing
from tests.helpers.songs import night_ferry


def test_a_lesson_is_drafted_until_its_owner_says_otherwise() -> None:
    assert night_ferry().standing == Standing("drafted")
    assert not night_ferry().standing.was_taught


def test_facts_are_set_one_by_one_and_the_music_stays() -> None:
    song = set_asked(set_state(night_ferry(), "published"), "  Mira   from the choir ", "2026-03-01")
    song = set_composer(set_rights(song, "our own", cleared=True), "M. Vale")
    assert song.standing == Standing("published", "Mira from the choir", "2026-03-01", rights_cleared=True)
    assert (song.rights, song.composer) == ("our own", "M. Vale")
    assert song.parts == night_ferry().parts
    assert song.standing.was_taught
    assert set_rights(song, "our own", cleared=True) is song


def test_no_such_state_or_day_is_refused_in_a_sentence() -> None:
    with pytest.raises(EditError, match="it must be one of wanted"):
        set_state(night_ferry(), "finished")
    with pytest.raises(EditError, match="a day such as"):
        set_asked(night_ferry(), "Mira", "yesterday")
    with pytest.raises(DomainError):
        Standing(asked_on="2026-02-30")

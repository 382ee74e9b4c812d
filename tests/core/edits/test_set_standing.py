"""What a lesson's owner keeps about it besides the music."""

from __future__ import annotations

import pytest

from core.edits.set_standing import set_standing
from core.song.errors import DomainError, EditError
from core.song.standing import Standing
from tests.helpers.songs import night_ferry


def test_a_lesson_is_drafted_until_its_owner_says_otherwise() -> None:
    assert night_ferry().standing == Standing("drafted")
    assert not night_ferry().standing.was_taught


def test_facts_are_set_one_by_one_and_the_music_stays() -> None:
    song = set_standing(night_ferry(), state="published", asked_by="  Mira   from the choir ")
    song = set_standing(song, asked_on="2026-03-01", rights="our own", rights_cleared=True, composer="M. Vale")
    assert song.standing == Standing("published", "Mira from the choir", "2026-03-01", rights_cleared=True)
    assert (song.rights, song.composer) == ("our own", "M. Vale")
    assert song.parts is night_ferry().parts or song.parts == night_ferry().parts
    assert song.standing.was_taught


@pytest.mark.parametrize(("field", "value"), [("state", "finished"), ("asked_on", "yesterday")])
def test_no_such_state_or_day_is_refused_in_a_sentence(field: str, value: str) -> None:
    with pytest.raises(EditError, match="it must be"):
        set_standing(night_ferry(), **{field: value})  # type: ignore[arg-type] - one field of several types
    with pytest.raises(DomainError):
        Standing(**{field: value})  # type: ignore[arg-type] - one field of several types

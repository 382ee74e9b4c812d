"""The player's reach."""

import pytest

from core.edits.set_hands import set_hands
from core.song.errors import DomainError
from core.song.hand_profile import HandProfile
from core.song.note import Hand
from core.teaching.left_hand_voicings import voicings
from tests.helpers.songs import night_ferry


def test_each_hand_has_a_reach_of_its_own() -> None:
    song = set_hands(set_hands(night_ferry(), Hand.RIGHT, 14), Hand.LEFT, 8)
    assert song.hands == HandProfile(right_reach=14, left_reach=8)
    assert all(part is other for part, other in zip(song.parts, set_hands(song, Hand.LEFT, 9).parts, strict=True))


def test_the_same_reach_is_the_same_song() -> None:
    song = night_ferry()
    assert set_hands(song, Hand.LEFT, 12) is song


def test_no_chord_is_wider_than_the_left_hand_reaches() -> None:
    song = set_hands(night_ferry(), Hand.LEFT, 7)
    placed = [chord for number in (1, 2, 3) for chord in voicings(song, number) if chord]
    assert all(chord[-1].midi - chord[0].midi <= 7 for chord in placed)


@pytest.mark.parametrize("reach", [6, 18])
def test_no_hand_reaches_less_than_a_fifth_or_more_than_an_eleventh(reach: int) -> None:
    with pytest.raises(DomainError, match="from 7"):
        set_hands(night_ferry(), Hand.RIGHT, reach)

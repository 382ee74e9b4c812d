"""What an embellishment costs is said before it is kept."""

from __future__ import annotations

from core.edits.set_hands import set_hands
from core.edits.set_teaching import set_harmony, set_pattern
from core.session.analysis import part_effort
from core.session.embellishment_effect import effect, reach_sentence
from core.song.note import Hand
from tests.helpers.songs import night_ferry


def test_effort_before_and_after_are_those_of_the_two_songs() -> None:
    song = night_ferry()
    after = set_harmony(set_pattern(song, 2, "octaves"), 2, "thirds")
    found = effect(song, after, 2)
    assert found.before == part_effort(song, 2).total
    assert found.after == part_effort(after, 2).total > found.before
    assert found.sentence == (
        f"Effort {round(found.after)} of 100; it is {round(found.before)} now. Both hands reach all of it."
    )


def test_the_same_effort_is_said_once() -> None:
    song = night_ferry()
    assert effect(song, song, 1).sentence.startswith(f"Effort {round(part_effort(song, 1).total)} of 100. ")


def test_what_a_small_hand_takes_otherwise_is_said() -> None:
    song = set_pattern(set_hands(night_ferry(), Hand.LEFT, 9), 1, "octaves")
    assert reach_sentence(song, 1) != "Both hands reach all of it."
    assert "octave" in reach_sentence(song, 1) or "left away" in reach_sentence(song, 1)

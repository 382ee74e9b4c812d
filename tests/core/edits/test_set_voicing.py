from __future__ import annotations

import pytest

from core.edits.set_voicing import set_chord_voicing, set_voicing
from core.edits.set_words import set_words
from core.formats.lesson_file import read_lesson, write_lesson
from core.song.errors import BrokenFileError, EditError
from tests.helpers.songs import night_ferry


def test_choices_are_kept_in_the_lesson() -> None:
    song = set_chord_voicing(set_voicing(night_ferry(), 1, "nearest"), 2, 0, "nearest")
    assert read_lesson("a.lesson", write_lesson(song)) == song
    assert b'"voicing"' not in write_lesson(night_ferry())


def test_a_lesson_with_another_choice_is_refused_with_its_place() -> None:
    data = write_lesson(set_voicing(night_ferry(), 1, "nearest")).replace(b'"nearest"', b'"wide"')
    with pytest.raises(BrokenFileError, match="root or nearest is wanted"):
        read_lesson("a.lesson", data)


def test_the_same_choice_again_changes_nothing() -> None:
    song = night_ferry()
    assert set_voicing(song, 1, "root") is song
    assert set_voicing(song, None, "root") is song
    assert set_chord_voicing(song, 1, 0, None) is song


def test_own_words_for_the_left_hand_are_marked_for_review() -> None:
    song = set_words(set_words(night_ferry(), 1, "left_hand", "Hold."), 1, "right_hand", "Sing.")
    words = set_voicing(song, 1, "nearest").part(1).teaching.words
    assert {own.kind: own.review for own in words} == {"left_hand": True, "right_hand": False}


def test_what_does_not_exist_is_refused() -> None:
    with pytest.raises(EditError, match="choose root or nearest"):
        set_voicing(night_ferry(), None, "wide")
    with pytest.raises(EditError, match="choose root or nearest"):
        set_chord_voicing(night_ferry(), 1, 0, "wide")
    with pytest.raises(EditError, match="no part 9"):
        set_voicing(night_ferry(), 9, "nearest")
    with pytest.raises(EditError, match="no such chord"):
        set_chord_voicing(night_ferry(), 1, 9, "nearest")

"""Words of the teacher's own are kept, and marked for review, whatever changes in the song under them."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from core.edits.join_parts import join_parts
from core.edits.mentioned_parts import review_mentions
from core.edits.move_cut import move_cut
from core.edits.recut import recut
from core.edits.remove_note import remove_note
from core.edits.rename_chord import rename_chord
from core.edits.set_phrase import set_phrase
from core.edits.set_words import set_words
from core.edits.split_part import split_part
from core.edits.transpose import transpose
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER as QUARTER
from core.theory.chord_symbols import parse_chord
from tests.helpers.songs import night_ferry

ALL = ("right_hand", "left_hand", "together")


def worded() -> Song:
    """Own words of every kind for parts 1 and 2."""
    song = set_phrase(night_ferry(), "opening", "Hello, ‹title›.")
    for number in (1, 2):
        for kind in ALL:
            song = set_words(song, number, kind, f"{kind} {number}, mine.")
    return song


def words(song: Song) -> dict[tuple[int, str], tuple[str, bool]]:
    return {
        (number, own.kind): (own.text, own.review)
        for number, part in enumerate(song.parts, 1)
        for own in part.teaching.words
    }


@pytest.mark.parametrize(
    ("edit", "marked"),
    [
        (lambda song: remove_note(song, 1, 0), {(1, "right_hand"), (1, "together")}),
        (lambda song: rename_chord(song, 1, 0, parse_chord("Em7")), {(1, "left_hand"), (1, "together")}),
        (lambda song: transpose(song, 0), {(number, kind) for number in (1, 2) for kind in ALL}),
        (lambda song: move_cut(song, 1, 4 * QUARTER), {(number, kind) for number in (1, 2) for kind in ALL}),
        (lambda song: split_part(song, 1, 4 * QUARTER), {(1, kind) for kind in ALL}),
    ],
)
def test_words_are_kept_and_marked_by_what_changed(edit: Callable[[Song], Song], marked: set[tuple[int, str]]) -> None:
    after = edit(worded())
    assert sorted(text for text, _ in words(after).values()) == sorted(text for text, _ in words(worded()).values())
    assert {place for place, (_, review) in words(after).items() if review} == marked
    assert after.phrases == worded().phrases


@pytest.mark.parametrize("edit", [lambda song: join_parts(song, 1), lambda song: recut(song, (20 * QUARTER,))])
def test_a_part_that_swallows_another_has_the_words_of_both(edit: Callable[[Song], Song]) -> None:
    after = edit(worded())
    assert words(after) == {(1, kind): (f"{kind} 1, mine.\n{kind} 2, mine.", True) for kind in ALL}
    assert after.phrases == worded().phrases


def test_a_recut_that_takes_over_a_part_and_cuts_inside_it_loses_no_word() -> None:
    after = recut(worded(), (12 * QUARTER, 20 * QUARTER))
    assert words(after) == {(1, kind): (f"{kind} 1, mine.\n{kind} 2, mine.", True) for kind in ALL}


def test_words_that_speak_of_another_part_are_marked_when_it_changes() -> None:
    song = set_words(night_ferry(), 3, "right_hand", "This is part 1 again, lower.")
    song = set_words(song, 3, "left_hand", "Nothing of the kind, for 1 beat.")
    assert words(remove_note(song, 1, 0)) == {
        (3, "right_hand"): ("This is part 1 again, lower.", True),
        (3, "left_hand"): ("Nothing of the kind, for 1 beat.", False),
    }
    assert not words(remove_note(song, 2, 0))[3, "right_hand"][1]


def test_words_that_count_on_a_parts_number_are_marked_when_numbers_move() -> None:
    song = set_words(night_ferry(), 1, "right_hand", "You need it again in part 3.")
    assert words(join_parts(song, 2))[1, "right_hand"][1]
    assert words(split_part(song, 2, 12 * QUARTER))[1, "right_hand"][1]


@pytest.mark.parametrize(
    ("text", "spoken_of"),
    [
        ("As in part 2.", {2}),
        ("Parts 1 to 3 are alike.", {1, 2, 3}),
        ("Parts 1, 2 and 3", {1, 2, 3}),
        ("parts 1–2", {1, 2}),
        ("for part of the 2 bars", set()),
        ("Part 12", set()),
    ],
)
def test_mentions_are_found_as_they_are_said(text: str, spoken_of: set[int]) -> None:
    song = set_words(set_words(night_ferry(), 3, "together", text), 2, "together", text)
    marked = {
        changed
        for changed in (1, 2, 3)
        if any(review for _, review in words(review_mentions(song, (changed,))).values())
    }
    assert marked == spoken_of

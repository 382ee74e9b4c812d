"""Asides: remarks at a place of a part, to be made or left out."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from core.edits.change_length import add_bar, remove_bar
from core.edits.join_parts import join_parts
from core.edits.move_cut import move_cut
from core.edits.set_aside import add_aside, move_aside, set_aside
from core.edits.split_part import split_part
from core.formats.lesson_file import read_lesson, write_lesson
from core.handover.plan_csv import write_plan_csv
from core.handover.plan_html import write_plan_html
from core.handover.plan_json import plan_object
from core.handover.session_plan import session_plan
from core.session.inspection import inspect_song
from core.session.running_order import USUAL_SETTINGS, running_order, total_seconds
from core.session.timing import LessonSettings
from core.song.errors import DomainError, EditError
from core.song.part import Aside, Part
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER as QUARTER
from tests.helpers.plan_materials import plan_assets
from tests.helpers.songs import night_ferry

THUMB = "The thumb goes under here."
SLOW = "You can hold just the E."


def with_two() -> Song:
    song = add_aside(night_ferry(), 1, 4 * QUARTER, THUMB)
    return add_aside(song, 1, 0, SLOW, "left_hand")


def placed(song: Song) -> list[tuple[int, str]]:
    return [
        (start + aside.onset, aside.text)
        for start, part in zip(song.part_onsets, song.parts, strict=True)
        for aside in part.asides
    ]


def test_asides_stand_in_order_and_can_be_worded_moved_and_removed() -> None:
    song = with_two()
    assert [aside.text for aside in song.part(1).asides] == [SLOW, THUMB]
    assert set_aside(song, 1, 1, "Thumb  under.\n").part(1).asides[1].text == "Thumb under."
    assert [aside.text for aside in move_aside(song, 1, 0, 6 * QUARTER).part(1).asides] == [THUMB, SLOW]
    assert set_aside(set_aside(song, 1, 0, None), 1, 0, " ") == night_ferry()
    assert all(song.part(number) is not None for number in (1, 2, 3))


def test_an_aside_leaves_every_other_part_the_same_object() -> None:
    before = night_ferry()
    after = add_aside(before, 2, 0, THUMB)
    assert all(one is other for one, other in zip(after.parts[::2], before.parts[::2], strict=True))


@pytest.mark.parametrize(
    ("number", "onset", "text", "kind", "said"),
    [
        (9, 0, THUMB, "right_hand", "There is no part 9"),
        (1, 8 * QUARTER, THUMB, "right_hand", "Part 1 has no such moment"),
        (1, -1, THUMB, "right_hand", "Part 1 has no such moment"),
        (1, 0, " \n", "right_hand", "An aside must say something"),
        (1, 0, "x" * 1001, "right_hand", "room for 1000 letters, and this one has 1001"),
        (1, 0, THUMB, "opening", "choose right hand, left hand or together"),
    ],
)
def test_what_cannot_be_an_aside_is_said(number: int, onset: int, text: str, kind: str, said: str) -> None:
    with pytest.raises(EditError, match=said):
        add_aside(night_ferry(), number, onset, text, kind)


def test_an_aside_that_is_not_there_is_said() -> None:
    with pytest.raises(EditError, match="no such aside any more"):
        set_aside(night_ferry(), 1, 0, "x")
    with pytest.raises(EditError, match="must stand inside the part"):
        move_aside(with_two(), 1, 0, 8 * QUARTER)
    with pytest.raises(DomainError):
        Part(QUARTER, asides=(Aside(QUARTER, "too late"),))


@given(st.integers(1, 31))
def test_asides_stay_at_their_moments_wherever_cuts_go(beat: int) -> None:
    song = add_aside(with_two(), 2, 5 * QUARTER, "and here")
    wanted = placed(song)
    cut = beat * QUARTER
    number = song.part_at(cut)
    if cut not in song.part_onsets:
        song = split_part(song, number, cut)
        assert placed(song) == wanted
        song = join_parts(song, number)
    assert placed(song) == wanted
    if 0 < cut < song.part_onsets[2]:
        assert placed(move_cut(song, 1, cut)) == wanted


def test_a_bar_in_which_an_aside_stands_is_not_removed() -> None:
    song = add_bar(night_ferry(), 1)
    assert remove_bar(song, 1) == night_ferry()
    with pytest.raises(EditError, match="not empty"):
        remove_bar(add_aside(song, 1, 9 * QUARTER, THUMB), 1)


def test_a_lesson_file_keeps_asides_and_what_it_does_not_know_of_them() -> None:
    written = write_lesson(with_two())
    assert read_lesson("a.lesson", written) == with_two()
    found = json.loads(written)
    found["parts"][0]["asides"][0]["colour"] = "red"
    again = write_lesson(read_lesson("a.lesson", json.dumps(found).encode()))
    assert json.loads(again)["parts"][0]["asides"][0]["colour"] == "red"


def test_a_plan_names_asides_at_their_place_and_counts_without_them() -> None:
    song, settings = with_two(), USUAL_SETTINGS
    plain, order = running_order(night_ferry(), settings), running_order(song, settings)
    assert [segment.seconds for segment in order] == [segment.seconds for segment in plain]
    said = {segment.title: [aside.text for aside in segment.asides] for segment in order if segment.asides}
    assert said == {"Part 1, right hand": [THUMB], "Part 1, left hand": [SLOW]}
    plan = session_plan(song, settings)
    segments = plan_object(plan)["segments"]
    assert isinstance(segments, list)
    assert segments[1]["asides"] == [
        {"onset": 4.0, "place": "bar 2, beat 1", "text": THUMB, "seconds": round(5 * 60 / settings.speaking_rate, 3)}
    ]
    line = f"If you like, at bar 2, beat 1: {THUMB}"
    assert line in write_plan_html(plan, plan_assets()).decode()
    assert line in write_plan_csv(plan).decode()
    assert plan.facts.endswith("0:05 more with every aside")
    assert total_seconds(order) == total_seconds(plain)


def test_an_aside_whose_segment_is_left_out_belongs_to_the_first_one() -> None:
    settings = replace(LessonSettings(), segments=("right_hand", "together"))
    order = running_order(with_two(), settings)
    assert [[aside.text for aside in segment.asides] for segment in order if segment.parts == (1,)] == [
        [SLOW, THUMB],
        [],
    ]


def test_inspect_tells_a_parts_asides() -> None:
    parts = inspect_song(with_two(), ("parts",))["parts"]
    assert isinstance(parts, list)
    assert parts[0]["asides"] == [
        {"onset": 0.0, "kind": "left_hand", "text": SLOW},
        {"onset": 4.0, "kind": "right_hand", "text": THUMB},
    ]
    assert "asides" not in parts[1]

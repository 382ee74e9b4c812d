from itertools import pairwise
from typing import Any

import pytest

from core.edits.remove_chord import remove_chord
from core.edits.set_right_hand_line import set_right_hand_line
from core.edits.set_teaching import set_taught, set_teaching_tempo
from core.edits.set_words import set_words
from core.session.running_order import (
    LEFT_HAND,
    RIGHT_HAND,
    TOGETHER,
    Segment,
    running_order,
    teach_seconds,
    total_seconds,
)
from core.session.timing import LessonSettings, segment_seconds, spoken_seconds, teaching_tempo
from core.song.errors import DomainError, PlanError
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.songs import DEMO_SONGS, build, lamplighters_waltz, night_ferry

Q = TICKS_PER_QUARTER


def kinds(song: Song) -> list[tuple[str, tuple[int, ...]]]:
    return [(segment.kind, segment.parts) for segment in running_order(song)]


def test_the_lesson_runs_in_teaching_order() -> None:
    assert kinds(night_ferry()) == [
        ("opening", (1, 2, 3)),
        ("right_hand", (1,)),
        ("left_hand", (1,)),
        ("together", (1,)),
        ("right_hand", (2,)),
        ("left_hand", (2,)),
        ("together", (2,)),
        ("run_through", (1, 2)),
        ("right_hand", (3,)),
        ("left_hand", (3,)),
        ("together", (3,)),
        ("run_through", (1, 2, 3)),
        ("embellishment", (1, 2, 3)),
        ("embellishment", (3,)),
        ("closing", (1, 2, 3)),
    ]


def test_a_song_without_chords_has_right_hand_segments_only() -> None:
    song = night_ferry()
    for number in (1, 2, 2, 3, 3):
        song = remove_chord(song, number, 0)
    assert {kind for kind, _ in kinds(song)} == {"opening", "right_hand", "run_through", "closing"}
    assert {play.hands for segment in running_order(song) for play in segment.play} == {"right"}


def test_a_part_that_is_not_taught_is_played_but_not_taught() -> None:
    song = set_taught(night_ferry(), 2, taught=False)
    taught = [parts for kind, parts in kinds(song) if kind == "right_hand"]
    assert taught == [(1,), (3,)]
    assert ("run_through", (1, 2, 3)) in kinds(song)
    assert teach_seconds(song, 2) == 0


@pytest.mark.parametrize("name", DEMO_SONGS)
def test_segments_follow_one_another_and_add_up(name: str) -> None:
    song = DEMO_SONGS[name]()
    segments = running_order(song)
    assert [segment.number for segment in segments] == list(range(1, len(segments) + 1))
    for before, after in pairwise(segments):
        assert after.start == pytest.approx(before.start + before.seconds)
    assert total_seconds(segments) == pytest.approx(sum(segment.seconds for segment in segments))
    for number in range(1, len(song.parts) + 1):
        own = [
            s.seconds for s in segments if s.parts == (number,) and s.kind in ("right_hand", "left_hand", "together")
        ]
        assert teach_seconds(song, number) == pytest.approx(sum(own))


def test_a_segment_lasts_its_words_its_playing_and_its_pauses() -> None:
    segment = running_order(night_ferry())[1]
    (play,) = segment.play
    words = sum(len(text.split()) for text in segment.say)
    beats = play.count_in / Q + play.times * (play.end - play.start) / Q
    assert segment.seconds == pytest.approx(words * 60 / 140 + beats * 60 / play.tempo + 1)


def test_rate_count_in_and_pause_are_settings() -> None:
    song = night_ferry()
    slow = LessonSettings(speaking_rate=70, count_in_bars=2, pause=3, right_hand_times=3)
    segment = running_order(song, slow)[1]
    (play,) = segment.play
    assert (play.times, play.count_in) == (3, 8 * Q)
    assert segment.seconds == pytest.approx(segment_seconds(segment.say, segment.play, slow))
    assert spoken_seconds(["one two three four five six seven"], 70) == pytest.approx(6)
    with pytest.raises(DomainError, match="speaking rate"):
        LessonSettings(speaking_rate=10)


def test_an_eight_bar_lesson_takes_about_what_teachers_take() -> None:
    """Common practice: about 75 seconds for a first part; a run-through of 10 to 30 seconds; 5 to 8 minutes in all."""
    song = night_ferry()
    segments = running_order(song)
    assert 55 <= teach_seconds(song, 1) <= 95
    assert 300 <= total_seconds(segments) <= 480
    first_run = next(segment for segment in segments if segment.kind == "run_through")
    assert 10 <= first_run.seconds <= 30


def test_harder_parts_are_taught_slower_and_the_teacher_decides() -> None:
    waltz = lamplighters_waltz()
    assert teaching_tempo(waltz, 4) < teaching_tempo(waltz, 3) < waltz.tempo
    assert teaching_tempo(set_teaching_tempo(waltz, 4, 40), 4) == 40


def test_repeats_are_played_in_the_opening() -> None:
    opening = running_order(lamplighters_waltz())[0]
    assert [(play.start // Q, play.end // Q) for play in opening.play] == [(0, 48), (0, 12), (48, 60)]
    assert [play.count_in for play in opening.play] == [3 * Q, 0, 0]


def test_the_opening_of_a_song_with_repeats_is_played_through_without_a_pause() -> None:
    opening = running_order(lamplighters_waltz())[0]
    beats = sum(play.end - play.start + play.count_in for play in opening.play) / Q
    spoken = spoken_seconds(opening.say, 140)
    assert opening.seconds == pytest.approx(spoken + beats * 60 / opening.play[0].tempo)


def test_the_opening_says_how_counts_go_with_beats_where_they_differ() -> None:
    said = {title: running_order(make())[0].say for title, make in DEMO_SONGS.items()}
    assert "Count six in a bar; two beats of three." in said["heron_at_the_sluice"]
    assert len(said["night_ferry"]) == 2


def test_the_opening_may_play_the_end_alone() -> None:
    (play,) = running_order(night_ferry(), LessonSettings(opening="end"))[0].play
    assert (play.start, play.end, play.hands) == (20 * Q, 32 * Q, "both")


def test_own_words_are_said_in_place_of_computed_ones() -> None:
    song = set_words(night_ferry(), 1, "right_hand", "Sing it first.")
    assert running_order(song)[1].say == ("Sing it first.",)
    assert running_order(set_words(song, 1, "right_hand", " "))[1].say == running_order(night_ferry())[1].say


def test_a_song_without_notes_cannot_be_planned() -> None:
    song = night_ferry()
    for number in (1, 2, 3):
        song = set_right_hand_line(song, number, "")
    with pytest.raises(PlanError, match="add notes first"):
        running_order(song)


TUNE, NEW_ENDING, OTHER = "C D E F | G A G -", "C D E F | G F E -", "G - F - | E - - -"
CHORDS = [(0.0, 4.0, "C"), (4.0, 4.0, "F")]


def with_second_part(line: str, chords: list[tuple[float, float, str]] = CHORDS) -> Song:
    parts = [(8.0, TUNE, CHORDS), (8.0, OTHER, CHORDS), (8.0, line, chords)]
    return build("Again", "C major", "4/4", 90, parts)  # type: ignore[arg-type]  # parts of several lengths in one table


def of_part(song: Song, number: int, settings: LessonSettings | None = None) -> list[Segment]:
    segments = running_order(song, settings or LessonSettings())
    return [one for one in segments if one.parts == (number,) and one.kind in (RIGHT_HAND, LEFT_HAND, TOGETHER)]


def test_an_exact_repeat_is_said_in_one_sentence_and_played_once() -> None:
    (segment,) = of_part(with_second_part(TUNE), 3)
    (play,) = segment.play
    assert segment.say == ("Part 3 is part 1 again.",)
    assert (segment.kind, play.hands, play.times) == ("together", "both", 1)


def test_an_exact_repeat_with_words_of_the_teachers_own_is_taught_with_them() -> None:
    song = set_words(with_second_part(TUNE), 3, "right_hand", "Louder now.")
    segments = of_part(song, 3)
    assert [one.kind for one in segments] == ["right_hand", "left_hand", "together"]
    assert segments[0].say == ("Louder now.",)


def test_a_part_with_a_new_ending_is_taught_by_the_ending() -> None:
    right, left, together = of_part(with_second_part(NEW_ENDING), 3)
    assert right.say == (
        "Part 3 is part 1 with a new ending from bar 6. Here is the new ending. "
        "Start on the F above middle C, down a step to E and hold it for two beats.",
    )
    assert left.say == ("The left hand is the same as in part 1.",)
    assert together.say == ("Both hands meet where they do in part 1.",)
    assert [one.play[0].times for one in (right, left, together)] == [1, 1, 1]


def test_a_few_new_notes_are_all_that_is_said() -> None:
    right = of_part(with_second_part("C D E F | G B G -"), 3)[0]
    assert right.say == ("Part 3 is part 1, but the sixth note is B instead of A.",)


def test_a_part_over_other_chords_keeps_the_words_for_them() -> None:
    _, left, together = of_part(with_second_part(TUNE, [(0.0, 8.0, "Am")]), 3)
    assert left.say[0].startswith("A minor")
    assert together.say[0].startswith("A minor lands with the")
    assert together.play[0].times == 2


@pytest.mark.parametrize("line", [TUNE, NEW_ENDING, "C D E F | G B G -", "D E F G | A B A -"])
def test_the_time_to_teach_falls_where_a_part_comes_back(line: str) -> None:
    song, whole = with_second_part(line), LessonSettings(by_difference=False)
    assert teach_seconds(song, 3) < teach_seconds(song, 3, whole)
    assert total_seconds(running_order(song)) < total_seconds(running_order(song, whole))


def test_a_part_is_not_told_by_one_that_was_never_taught() -> None:
    song = set_taught(with_second_part(TUNE), 1, taught=False)
    assert len(of_part(song, 3)) == 3


def test_a_change_in_the_part_that_is_repeated_is_heard_in_the_repeat() -> None:
    song = with_second_part(TUNE)
    assert len(of_part(song, 3)) == 1
    changed = set_right_hand_line(song, 1, NEW_ENDING)
    assert of_part(changed, 3)[0].say[0].startswith("Part 3 is part 1 with a new ending")


def test_segments_that_the_teacher_leaves_out_are_not_there() -> None:
    chosen = LessonSettings(segments=("run_through", "right_hand", "together"))
    assert [segment.kind for segment in running_order(night_ferry(), chosen)] == [
        "right_hand",
        "together",
        "right_hand",
        "together",
        "run_through",
        "right_hand",
        "together",
        "run_through",
    ]


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"segments": ("encore",)}, "a kind of segment"),
        ({"segments": ("opening", "closing")}, "at least one that teaches"),
        ({"opening": "middle"}, "whole or end"),
        ({"first_play_percent": 20}, "the tempo of the first play"),
        ({"last_play_percent": 200}, "the tempo of the last play"),
        ({"embellishment_times": 0}, "how often an embellishment"),
        ({"embellishments": ("waltzing",)}, "pattern"),
    ],
)
def test_settings_that_cannot_be_are_refused_with_a_sentence(wrong: dict[str, Any], sentence: str) -> None:
    with pytest.raises(DomainError, match=sentence):
        LessonSettings(**wrong)


def test_plays_go_from_the_tempo_of_the_first_to_that_of_the_last() -> None:
    faster = LessonSettings(right_hand_times=3, first_play_percent=80, last_play_percent=120)
    usual = of_part(night_ferry(), 1)[0].play[0].tempo
    plays = of_part(night_ferry(), 1, faster)[0].play
    assert [play.tempo for play in plays] == [round(usual * 0.8), usual, round(usual * 1.2)]
    assert [play.times for play in plays] == [1, 1, 1]
    assert all(play.count_in == 4 * Q for play in plays)


def test_what_is_played_once_is_played_at_the_tempo_of_a_first_play() -> None:
    slower = LessonSettings(first_play_percent=50, last_play_percent=100)
    (usual,), (play,) = of_part(night_ferry(), 1)[1].play, of_part(night_ferry(), 1, slower)[1].play
    assert (play.tempo, play.times) == (round(usual.tempo / 2), 1)


def test_an_embellishment_may_be_played_more_than_once() -> None:
    twice = running_order(night_ferry(), LessonSettings(embellishment_times=2))
    assert {one.play[0].times for one in twice if one.kind == "embellishment"} == {2}

from itertools import pairwise

import pytest

from core.edits.remove_chord import remove_chord
from core.edits.set_right_hand_line import set_right_hand_line
from core.edits.set_teaching import set_taught, set_teaching_tempo
from core.edits.set_words import set_words
from core.session.running_order import running_order, teach_seconds, total_seconds
from core.session.timing import LessonSettings, segment_seconds, spoken_seconds, teaching_tempo
from core.song.errors import DomainError, PlanError
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.songs import DEMO_SONGS, lamplighters_waltz, night_ferry

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

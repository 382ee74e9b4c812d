"""Time to teach, held to what teachers take (common practice, no source)."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.edits.set_teaching import set_taught, set_teaching_tempo
from core.session.lesson_settings import LessonSettings
from core.session.running_order import running_order, teach_seconds, total_seconds
from core.session.timing import run_through_tempo, teaching_tempo
from core.song.song import Song
from core.teaching.effort import Causes, Effort
from tests.helpers.songs import DEMO_SONGS, build

PART_KINDS = ("right_hand", "left_hand", "together")


def chorus(tempo: float = 120) -> Song:
    """Eight bars in four parts of one or two chords each, as a verse-and-chorus song has them."""
    return build(
        "Chorus",
        "C major",
        "4/4",
        tempo,
        [
            (8, "G - A G c - B -", [(0, 4, "C"), (4, 4, "G")]),
            (8, "A - c A G - - -", [(0, 4, "F"), (4, 4, "C")]),
            (8, "F - G A B - d -", [(0, 4, "Dm"), (4, 4, "G")]),
            (8, "c - G E C - - -", [(0, 8, "C")]),
        ],
    )


def seconds_of(song: Song, kind: str) -> list[float]:
    return [segment.seconds for segment in running_order(song) if segment.kind == kind]


def test_an_eight_bar_chorus_in_four_parts_takes_five_to_seven_minutes() -> None:
    assert 300 <= total_seconds(running_order(chorus())) <= 420


def test_the_first_part_takes_about_75_seconds_and_later_ones_45_to_60() -> None:
    first, *later = (teach_seconds(chorus(), number) for number in range(1, 5))
    assert 62 <= first <= 88
    assert all(45 <= seconds <= 62 for seconds in later), later
    assert first > max(later)


def test_a_run_through_takes_10_to_30_seconds_and_embellishments_about_a_minute() -> None:
    runs = seconds_of(chorus(), "run_through")
    assert len(runs) == 3
    assert all(10 <= seconds <= 30 for seconds in runs), runs
    assert 45 <= sum(seconds_of(chorus(), "embellishment")) <= 75


@pytest.mark.parametrize("song", [*(make() for make in DEMO_SONGS.values()), chorus()], ids=lambda song: song.title)
def test_parts_opening_run_throughs_embellishments_and_closing_are_the_whole_running_time(song: Song) -> None:
    order = running_order(song)
    parts = sum(teach_seconds(song, number) for number in range(1, len(song.parts) + 1))
    rest = sum(segment.seconds for segment in order if segment.kind not in PART_KINDS)
    assert {segment.kind for segment in order} >= {"opening", "run_through", "embellishment", "closing"}
    assert parts + rest == pytest.approx(total_seconds(order))


@settings(max_examples=25, deadline=None)
@given(
    st.sampled_from(sorted(DEMO_SONGS)),
    st.floats(60, 300),
    st.integers(0, 4),
    st.floats(0, 10),
    st.tuples(*[st.integers(1, 8)] * 4),
    st.booleans(),
)
def test_the_sum_holds_whatever_the_teacher_sets(
    name: str, rate: float, count_in: int, pause: float, times: tuple[int, int, int, int], taught: bool
) -> None:
    right, left, together, run_through = times
    own = LessonSettings(
        speaking_rate=rate,
        count_in_bars=count_in,
        pause=pause,
        right_hand_times=right,
        left_hand_times=left,
        together_times=together,
        run_through_times=run_through,
    )
    song = set_taught(DEMO_SONGS[name](), 2, taught=taught)
    order = running_order(song, own)
    parts = sum(teach_seconds(song, number, own) for number in range(1, len(song.parts) + 1))
    rest = sum(segment.seconds for segment in order if segment.kind not in PART_KINDS)
    assert parts + rest == pytest.approx(total_seconds(order))


def test_the_teachers_tempo_and_speaking_rate_move_the_time() -> None:
    song = chorus()
    usual = teach_seconds(song, 2)
    assert teach_seconds(set_teaching_tempo(song, 2, 60), 2) > usual
    assert teach_seconds(song, 2, LessonSettings(speaking_rate=180)) < usual
    assert total_seconds(running_order(chorus(90))) > total_seconds(running_order(song))
    assert total_seconds(running_order(song, LessonSettings(speaking_rate=110))) > total_seconds(running_order(song))


def test_the_first_part_is_taught_slower_than_the_same_part_later() -> None:
    song = chorus()
    twice = replace(song, parts=(*song.parts, song.parts[0]), playing_order=())
    assert teaching_tempo(twice, 1) < teaching_tempo(twice, 5)


@settings(max_examples=50, deadline=None)
@given(st.floats(0, 100), st.floats(0, 100), st.integers(40, 200))
def test_a_harder_part_is_never_taught_faster(one: float, other: float, tempo: int) -> None:
    easier, harder = sorted((one, other))
    with pytest.MonkeyPatch.context() as patch:
        tempos = []
        for total in (easier, harder):
            effort = Effort(total, Causes(0, 0, 0, 0, 0, 0, 0), ())
            patch.setattr("core.session.timing.part_effort", lambda *_, effort=effort: effort)
            tempos.append(teaching_tempo(chorus(tempo), 2))
    assert tempos[1] <= tempos[0] <= tempo


def test_a_run_through_lies_between_the_slowest_part_and_the_song() -> None:
    assert run_through_tempo(120, [60, 90]) == 80
    assert run_through_tempo(60, [60]) == 60

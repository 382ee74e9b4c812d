from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.arranging.left_hand import left_hand, pattern_in
from core.edits.own_patterns import keep_pattern, remove_pattern
from core.edits.set_teaching import set_pattern
from core.edits.set_words import set_words
from core.formats.lesson_file import read_lesson, write_lesson
from core.session.analysis import part_effort
from core.session.lesson_settings import LessonSettings
from core.session.running_order import running_order
from core.song.errors import BrokenFileError, DomainError, EditError
from core.song.pattern_grid import TONES, Grid, OwnPattern, Stroke
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.songs import heron_at_the_sluice, night_ferry

ROCKING = OwnPattern("Rocking", (Grid.parse("R 5 8 5", 1), Grid.parse("R+5 . H -", 2)))


def struck(song: Song, number: int = 1) -> list[tuple[float, str]]:
    return [(note.onset / TICKS_PER_QUARTER, note.pitch.plain) for note in left_hand(song, number)]


def test_a_pattern_of_the_teachers_own_is_played_like_any_other() -> None:
    song = set_pattern(keep_pattern(night_ferry(), ROCKING), 1, "Rocking")
    assert struck(song)[:5] == [(0, "E2"), (1, "B2"), (2, "E3"), (3, "B2"), (4, "E2")]
    assert pattern_in(song, "Rocking").words == "Left hand: root, fifth, octave, fifth, one to each beat."
    assert part_effort(song, 1).causes.travel > part_effort(song, 1, "block").causes.travel
    shown = running_order(song, LessonSettings())
    assert any(segment.kind == "left_hand" for segment in shown)


def test_a_pattern_drawn_for_plain_beats_is_laid_over_dotted_ones() -> None:
    song = set_pattern(keep_pattern(heron_at_the_sluice(), OwnPattern("Two", (Grid.parse("R H", 2),))), 2, "Two")
    assert [onset for onset, _ in struck(song, 2)][:4] == [0, 1, 1.5, 2.5]


def test_own_patterns_are_kept_in_the_lesson() -> None:
    song = set_pattern(keep_pattern(night_ferry(), ROCKING), 1, "Rocking")
    assert read_lesson("a.lesson", write_lesson(song)) == song
    assert b'"patterns"' not in write_lesson(night_ferry())
    broken = write_lesson(song).replace(b'"R 5 8 5"', b'"R 6 8 5"')
    with pytest.raises(BrokenFileError, match="patterns"):
        read_lesson("a.lesson", broken)


def test_what_is_unknown_about_a_pattern_is_kept() -> None:
    data = write_lesson(keep_pattern(night_ferry(), ROCKING)).replace(b'"division": 1', b'"division": 1, "colour": 3')
    assert b'"colour": 3' in write_lesson(read_lesson("a.lesson", data))


def test_a_removed_pattern_leaves_held_chords_and_words_to_read_again() -> None:
    song = set_pattern(keep_pattern(night_ferry(), ROCKING), 1, "Rocking")
    song = remove_pattern(set_words(song, 1, "left_hand", "Rock it."), "Rocking")
    assert song.patterns == ()
    assert song.part(1).teaching.pattern == "block"
    assert song.part(1).teaching.words[0].review


def test_a_pattern_drawn_anew_takes_the_place_of_the_one_with_its_name() -> None:
    song = keep_pattern(night_ferry(), ROCKING)
    other = OwnPattern("Rocking", (Grid.parse("C -"),))
    assert keep_pattern(song, ROCKING) is song
    assert keep_pattern(song, other).patterns == (other,)


def test_names_and_grids_that_make_no_sense_are_refused() -> None:
    with pytest.raises(EditError, match="another name"):
        keep_pattern(night_ferry(), OwnPattern("octaves", ROCKING.grids))
    with pytest.raises(EditError, match="no pattern of your own"):
        remove_pattern(night_ferry(), "Rocking")
    for cells, division in (("", 1), ("R 9", 1), ("- R", 1), ("R 5 8", 2), (". .", 1), ("R+R", 1), ("R", 0)):
        with pytest.raises(DomainError):
            Grid.parse(cells, division)
    for name in ("", " a", "a\tb"):
        with pytest.raises(DomainError):
            OwnPattern(name, ROCKING.grids)
    with pytest.raises(DomainError, match="into the next"):
        Grid(2, 1, (Stroke(0, 2, ("R",)), Stroke(1, 1, ("5",))))


@settings(max_examples=60)
@given(
    st.integers(1, 4).flatmap(
        lambda division: st.tuples(
            st.just(division),
            st.lists(
                st.just(".")
                | st.just("-")
                | st.lists(st.sampled_from(TONES), min_size=1, max_size=3, unique=True).map("+".join),
                min_size=division,
                max_size=4 * division,
            ).filter(lambda words: len(words) % division == 0),
        )
    ),
    st.booleans(),
)
def test_a_grid_is_written_as_it_is_read(drawn: tuple[int, list[str]], compound: bool) -> None:
    division, words = drawn
    try:
        grid = Grid.parse(" ".join(words), division, compound=compound)
    except DomainError:
        assert words[0] == "-" or set(words) <= {".", "-"}
        return
    assert Grid.parse(grid.text, division, compound=compound) == grid

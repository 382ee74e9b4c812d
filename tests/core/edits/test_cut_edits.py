import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.edits.join_parts import join_parts
from core.edits.move_cut import move_cut
from core.edits.recut import recut
from core.edits.set_teaching import set_pattern
from core.edits.set_words import set_words
from core.edits.split_part import split_part
from core.song.errors import EditError
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.songs import heron_at_the_sluice, lamplighters_waltz, night_ferry

Q = TICKS_PER_QUARTER


def sounding(song: Song) -> list[tuple[int, int, str]]:
    return [(onset, note.duration, note.pitch.plain) for onset, note in song.placed_notes()]


def held(song: Song) -> list[tuple[int, str]]:
    """What the left hand holds at every half beat."""
    found: list[tuple[int, str]] = []
    for onset, chord in song.placed_chords():
        found.extend((tick, str(chord.symbol)) for tick in range(onset, onset + chord.duration, Q // 2))
    return found


def unfolded(song: Song) -> list[tuple[int, int, str]]:
    """The song as it is played, repeats and all."""
    start = 0
    found: list[tuple[int, int, str]] = []
    for number in song.playing_order:
        part = song.part(number)
        found.extend((start + note.onset, note.duration, note.pitch.plain) for note in part.notes)
        start += part.duration
    return found


def test_a_chord_that_crosses_a_cut_is_divided_and_made_whole_again() -> None:
    song = split_part(night_ferry(), 1, 4 * Q)
    first, second = song.parts[:2]
    assert (first.chords[0].duration, first.chords[0].continued) == (4 * Q, False)
    assert (second.chords[0].onset, second.chords[0].duration, second.chords[0].continued) == (0, 4 * Q, True)
    assert song.playing_order == (1, 2, 3, 4)
    assert join_parts(song, 1) == night_ferry()


def test_both_halves_keep_the_choices_and_the_words_stay_with_the_first() -> None:
    song = set_words(set_pattern(night_ferry(), 2, "broken"), 2, "right_hand", "Down and hold.")
    first, second = split_part(song, 2, 12 * Q).parts[1:3]
    assert first.teaching.pattern == second.teaching.pattern == "broken"
    assert [(words.text, words.review) for words in first.teaching.words] == [("Down and hold.", True)]
    assert second.teaching.words == ()


def test_the_first_parts_choices_stand_in_a_join() -> None:
    song = set_pattern(night_ferry(), 1, "octaves")
    assert join_parts(song, 1).part(1).teaching.pattern == "octaves"


def test_a_moved_cut_takes_notes_and_chords_along() -> None:
    song = move_cut(night_ferry(), 1, 9 * Q)
    assert [part.duration // Q for part in song.parts] == [9, 11, 12]
    assert song.part(1).melody[-1].pitch.plain == "C#5"
    assert song.part(2).chords[0].continued
    assert move_cut(song, 1, 8 * Q) == night_ferry()


def test_cuts_stay_inside_their_parts() -> None:
    for tick in (0, 20 * Q, 25 * Q):
        with pytest.raises(EditError, match="between the start of part 1 and the end of part 2"):
            move_cut(night_ferry(), 1, tick)
    with pytest.raises(EditError, match="only be split inside"):
        split_part(night_ferry(), 1, 8 * Q)
    with pytest.raises(EditError, match="last one"):
        join_parts(night_ferry(), 3)


def test_a_repeat_sign_is_always_a_cut() -> None:
    waltz = lamplighters_waltz()
    with pytest.raises(EditError, match="repeats at the cut after part 1"):
        join_parts(waltz, 1)
    with pytest.raises(EditError, match="repeats at the cut after part 1"):
        move_cut(waltz, 1, 9 * Q)
    assert recut(waltz, [0]).playing_order == (1, 2, 1, 3)
    assert unfolded(recut(waltz, [0])) == unfolded(waltz)


def test_cutting_anew_keeps_the_parts_whose_borders_stay() -> None:
    song = night_ferry()
    after = recut(song, [0, 8 * Q, 16 * Q, 20 * Q])
    assert after.parts[0] is song.parts[0]
    assert after.parts[3] is song.parts[2]
    assert [part.duration // Q for part in after.parts] == [8, 8, 4, 12]
    assert recut(after, [8 * Q, 20 * Q]) == song
    assert recut(song, [8 * Q, 20 * Q]) is song


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from([night_ferry, lamplighters_waltz, heron_at_the_sluice]),
    st.lists(st.tuples(st.sampled_from(["split", "join", "move", "recut"]), st.integers(0, 200)), max_size=8),
)
def test_no_change_of_cuts_changes_the_music(make: object, changes: list[tuple[str, int]]) -> None:
    before = song = make()  # type: ignore[operator]  # parametrized values come in as objects
    for kind, value in changes:
        tick = value * Q // 2 % song.length
        number = value % len(song.parts) + 1
        try:
            if kind == "split":
                song = split_part(song, song.part_at(tick), tick)
            elif kind == "join":
                song = join_parts(song, number)
            elif kind == "move":
                song = move_cut(song, number, tick)
            else:
                song = recut(song, [tick, (tick * 3) % song.length])
        except EditError:
            continue
        assert sounding(song) == sounding(before)
        assert held(song) == held(before)
        assert unfolded(song) == unfolded(before)

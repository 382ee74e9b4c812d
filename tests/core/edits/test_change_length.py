"""A bar more or less at the end of a part."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.edits.change_length import add_bar, remove_bar
from core.edits.resize_note import resize_note
from core.edits.split_part import split_part
from core.song.errors import EditError
from core.song.key import Key, KeyChange
from core.song.metre import Metre, MetreChange
from core.song.pitch import NoteName
from core.song.song import Song
from core.song.tempo import TempoChange
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.songs import DEMO_SONGS, heron_at_the_sluice, night_ferry

Q = TICKS_PER_QUARTER
D_MAJOR = Key(NoteName("D"))


def with_changes(song: Song, at: int) -> Song:
    """The song with another key, metre and tempo from a moment on."""
    return replace(
        song,
        keys=(*song.keys, KeyChange(at, D_MAJOR)),
        metres=(*song.metres, MetreChange(at, Metre(3, 4))),
        tempos=(*song.tempos, TempoChange(at, 60.0)),
    )


def test_a_song_grows_by_a_bar_at_its_end() -> None:
    song = add_bar(night_ferry(), 3)
    assert song.length == night_ferry().length + 4 * Q
    assert song.bars[-1].number == 9
    assert song.parts[:2] == night_ferry().parts[:2]


def test_what_lies_behind_the_new_bar_moves_with_it() -> None:
    song = with_changes(night_ferry(), 20 * Q)
    longer = add_bar(song, 1)
    assert [change.onset for change in (longer.keys[-1], longer.metres[-1], longer.tempos[-1])] == 3 * [24 * Q]
    assert longer.part_onsets == (0, 12 * Q, 24 * Q)
    assert longer.parts[1:] == song.parts[1:]
    assert remove_bar(longer, 1) == song


def test_the_new_bar_is_as_long_as_the_metre_at_the_parts_end_says() -> None:
    song = with_changes(night_ferry(), 20 * Q)
    assert add_bar(song, 2).length - song.length == 4 * Q
    assert add_bar(song, 3).length - song.length == 3 * Q


def test_a_chord_divided_by_the_cut_is_struck_anew_behind_the_new_bar() -> None:
    song = split_part(night_ferry(), 1, 4 * Q)
    assert song.parts[1].chords[0].continued
    assert not add_bar(song, 1).parts[1].chords[0].continued


def test_a_change_of_key_at_the_removed_bar_still_holds_behind_it() -> None:
    longer = add_bar(night_ferry(), 1)
    song = replace(longer, keys=(*longer.keys, KeyChange(8 * Q, D_MAJOR)))
    shorter = remove_bar(song, 1)
    assert shorter.key_at(8 * Q) == D_MAJOR
    assert shorter.length == night_ferry().length


def test_a_change_in_the_songs_removed_last_bar_goes_with_it() -> None:
    longer = add_bar(night_ferry(), 3)
    song = replace(longer, metres=(*longer.metres, MetreChange(32 * Q, Metre(2, 2))))
    assert remove_bar(song, 3) == night_ferry()


@pytest.mark.parametrize("number", [1, 2, 3])
def test_a_bar_in_which_something_sounds_stays(number: int) -> None:
    with pytest.raises(EditError, match="not empty"):
        remove_bar(night_ferry(), number)


def test_a_note_held_from_before_keeps_its_bar() -> None:
    song = add_bar(night_ferry(), 3)
    last = len(song.parts[2].notes) - 1
    with pytest.raises(EditError, match="not empty"):
        remove_bar(resize_note(song, 3, last, 6 * Q), 3)


def test_a_part_of_one_bar_keeps_it() -> None:
    with pytest.raises(EditError, match="no other bar"):
        remove_bar(split_part(night_ferry(), 1, 4 * Q), 1)


def test_the_last_bar_may_be_short() -> None:
    song = heron_at_the_sluice()
    assert song.pickup
    longer = add_bar(song, len(song.parts))
    assert remove_bar(longer, len(song.parts)) == song


def test_there_is_no_bar_to_add_to_a_part_that_is_not_there() -> None:
    with pytest.raises(EditError, match="no part 9"):
        add_bar(night_ferry(), 9)


@settings(max_examples=30, deadline=None)
@given(st.sampled_from(sorted(DEMO_SONGS)), st.data())
def test_a_bar_added_and_removed_leaves_the_song_as_it_was(name: str, data: st.DataObject) -> None:
    song = DEMO_SONGS[name]()
    number = data.draw(st.integers(1, len(song.parts)))
    longer = add_bar(song, number)
    assert longer.playing_order == song.playing_order
    assert [note for _, note in longer.placed_notes()] == [note for _, note in song.placed_notes()]
    assert remove_bar(longer, number) == song

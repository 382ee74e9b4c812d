import pytest

from core.edits.add_note import add_note
from core.edits.move_note import move_note
from core.edits.remove_note import remove_note
from core.edits.rename_note import rename_note
from core.edits.resize_note import resize_note
from core.edits.set_finger import set_finger
from core.edits.set_words import set_words
from core.song.errors import EditError
from core.song.pitch import NoteName, Pitch
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.songs import night_ferry

Q = TICKS_PER_QUARTER


def melody(song: Song, number: int) -> list[tuple[float, float, str]]:
    return [(note.onset / Q, note.duration / Q, note.pitch.plain) for note in song.part(number).melody]


def test_a_renamed_note_stays_in_the_nearest_octave() -> None:
    song = rename_note(night_ferry(), 1, 3, NoteName("C"))
    assert melody(song, 1)[3] == (3, 1, "C5")
    song = rename_note(night_ferry(), 1, 0, Pitch.parse("Eb4"))
    assert melody(song, 1)[0] == (0, 1, "Eb4")


def test_renaming_to_the_same_name_changes_nothing() -> None:
    song = night_ferry()
    assert rename_note(song, 1, 0, NoteName("E")) is song


def test_a_note_moved_into_another_shortens_it() -> None:
    song = move_note(night_ferry(), 1, 5, onset=5 * Q)
    assert melody(song, 1)[4:] == [(4, 1, "A4"), (5, 1, "G4"), (7, 1, "F#4")]


def test_a_note_moved_before_another_ends_where_that_begins() -> None:
    song = resize_note(night_ferry(), 3, 7, 2 * Q)
    song = move_note(song, 3, 7, onset=1 * Q + Q // 2)
    assert (1.5, 0.5, "E4") in melody(song, 3)


def test_two_notes_of_the_melody_never_begin_together() -> None:
    with pytest.raises(EditError, match="already a note at that moment, A"):
        move_note(night_ferry(), 1, 0, onset=2 * Q)
    with pytest.raises(EditError, match="already a note"):
        add_note(night_ferry(), 1, 0, Q, Pitch.parse("C4"))


def test_a_note_cannot_leave_its_part() -> None:
    with pytest.raises(EditError, match="inside its part"):
        move_note(night_ferry(), 1, 0, onset=8 * Q)


def test_a_long_note_ends_at_the_next_one() -> None:
    assert melody(resize_note(night_ferry(), 1, 0, 3 * Q), 1)[0] == (0, 1, "E4")
    assert melody(resize_note(night_ferry(), 2, 4, 9 * Q), 2)[4] == (4, 5, "B4")


def test_a_note_may_sound_over_the_cut_up_to_the_next_parts_first_note() -> None:
    song = remove_note(night_ferry(), 2, 0)
    song = resize_note(song, 1, 6, 5 * Q)
    assert melody(song, 1)[-1] == (7, 2, "F#4")


def test_the_last_note_ends_with_the_song() -> None:
    assert melody(resize_note(night_ferry(), 3, 7, 99 * Q), 3)[-1] == (8, 4, "E4")


def test_notes_are_added_and_removed() -> None:
    song = add_note(night_ferry(), 2, 7 * Q, 4 * Q, Pitch.parse("D5"))
    assert (7, 2, "D5") in melody(song, 2)
    added = [note.pitch.plain for note in song.part(2).notes].index("D5")
    assert melody(remove_note(song, 2, added), 2) == melody(night_ferry(), 2)


def test_a_finger_of_the_teachers_own_is_kept_until_the_key_changes() -> None:
    song = set_finger(night_ferry(), 1, 0, 2)
    assert song.part(1).notes[0].finger == 2
    assert rename_note(song, 1, 0, NoteName("D")).part(1).notes[0].finger is None
    assert set_finger(song, 1, 0, None) == night_ferry()
    with pytest.raises(EditError, match="no finger 6"):
        set_finger(song, 1, 0, 6)


def test_own_words_are_marked_when_the_notes_under_them_change() -> None:
    song = set_words(night_ferry(), 1, "right_hand", "Just sing it.")
    song = set_words(song, 1, "left_hand", "Hold on.")
    changed = remove_note(song, 1, 0)
    assert [(words.kind, words.review) for words in changed.part(1).teaching.words] == [
        ("right_hand", True),
        ("left_hand", False),
    ]


@pytest.mark.parametrize(("number", "index"), [(0, 0), (4, 0), (1, 7), (1, -1)])
def test_a_note_that_is_not_there_is_refused(number: int, index: int) -> None:
    with pytest.raises(EditError):
        remove_note(night_ferry(), number, index)


def test_an_added_or_moved_note_ends_where_the_next_part_begins() -> None:
    song = remove_note(night_ferry(), 1, 6)
    assert melody(add_note(song, 1, 7 * Q, 9 * Q, Pitch.parse("D4")), 1)[-1] == (7, 1, "D4")
    song = resize_note(remove_note(song, 1, 5), 1, 4, 4 * Q)
    assert melody(move_note(song, 1, 4, onset=6 * Q), 1)[-1] == (6, 2, "A4")


def test_no_note_is_put_past_the_songs_end() -> None:
    song = remove_note(night_ferry(), 3, 7)
    assert melody(add_note(song, 3, 11 * Q, 9 * Q, Pitch.parse("D4")), 3)[-1] == (11, 1, "D4")


def test_a_note_that_sounded_on_ends_where_the_next_parts_melody_now_begins() -> None:
    song = remove_note(remove_note(night_ferry(), 2, 0), 2, 0)
    song = resize_note(song, 1, 6, 3 * Q)
    assert melody(song, 1)[-1] == (7, 3, "F#4")
    song = add_note(song, 2, 1 * Q, Q, Pitch.parse("C5"))
    assert melody(song, 1)[-1] == (7, 2, "F#4")

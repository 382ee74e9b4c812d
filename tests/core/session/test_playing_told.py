"""How somebody played along, in sentences that name bars and notes."""

from core.session.playing_told import PlayedNote, name_of_key, playing_told
from core.song.note import Hand
from core.song.time import TICKS_PER_QUARTER as Q
from core.teaching.naming import Names, Naming
from tests.helpers.drawn_songs import drawn_song, part
from tests.helpers.songs import night_ferry

FERRY = night_ferry()
F_SHARP = 66
"""The last note of part 1, on the seventh quarter: bar 2."""


def test_all_in_time_is_said_shortly() -> None:
    played = [PlayedNote(1, beat * Q, 64, "right") for beat in range(3)]
    assert playing_told(FERRY, played) == "You played 3 of 3 notes, all in time."
    assert playing_told(FERRY, played[:1]) == "You played 1 of 1 note, all in time."


def test_what_went_otherwise_is_said_with_its_bar_and_name() -> None:
    played = [PlayedNote(1, 0, 64, "right"), PlayedNote(1, 7 * Q, F_SHARP, "late")]
    assert playing_told(FERRY, played) == "You played 2 of 2 notes. Bar 2: the F sharp came late."


def test_things_of_one_bar_stand_together_in_the_order_of_the_song() -> None:
    played = [
        PlayedNote(2, 0, 73, "missed"),
        PlayedNote(1, 2 * Q, 69, "early"),
        PlayedNote(1, 1 * Q, 68, "wrong"),
        PlayedNote(1, 0, 64, "apart"),
        PlayedNote(1, 0, 64, "right"),
    ]
    assert playing_told(FERRY, played) == (
        "You played 2 of 3 notes. Bar 1: the hands were apart, G sharp was a wrong key and the A came early. "
        "Bar 3: the C sharp was missed."
    )


def test_the_same_fault_of_a_bar_is_counted() -> None:
    played = [PlayedNote(1, 0, 64, "right"), *(PlayedNote(1, 2 * Q, 69, "late") for _ in range(3))]
    assert "Bar 1: the A came late (3 times)." in playing_told(FERRY, played)


def test_many_bars_are_told_up_to_a_few() -> None:
    song = drawn_song("Long", "C major", "4/4", part(" ".join(["C4"] * 28)))
    played = [PlayedNote(1, bar * 4 * Q, 60, "late") for bar in range(6)]
    told = playing_told(song, played)
    assert "Bar 4: the C came late. And something in 2 more bars." in told
    assert "Bar 5" not in told


def test_a_pickup_is_called_so() -> None:
    song = drawn_song("Up", "C major", "4/4", part("G4 C5:4"), pickup=1)
    assert "Pick-up: the G came early." in playing_told(song, [PlayedNote(1, 0, 67, "early")])


def test_wrong_keys_alone_are_told_and_nothing_pressed_is_not() -> None:
    assert playing_told(FERRY, [PlayedNote(1, 0, 65, "wrong")]).startswith("You played no note yet. Bar 1:")
    assert playing_told(FERRY, [PlayedNote(1, 0, 64, "missed")]) == ""
    assert playing_told(FERRY, []) == ""


def test_names_follow_the_naming_that_was_chosen() -> None:
    told = playing_told(FERRY, [PlayedNote(1, 7 * Q, F_SHARP, "late")], Names(Naming.GERMAN))
    assert "the Fis came late" in told


def test_a_key_is_called_as_the_note_there_is_spelled_else_as_the_key_has_it() -> None:
    song = drawn_song("Flat", "C major", "4/4", part("Gb4:2 C4:2"))
    assert name_of_key(song, 1, 0, 66).spoken == "G flat"
    assert name_of_key(song, 1, 2 * Q, 66).spoken == "F sharp"


def test_where_both_hands_play_it_is_said_whose_note_it_was() -> None:
    right = PlayedNote(1, Q, 67, "missed", Hand.RIGHT)
    left = PlayedNote(1, 0, 55, "late", Hand.LEFT)
    wrong = PlayedNote(1, 2 * Q, 68, "wrong", Hand.LEFT)
    assert playing_told(FERRY, [right, left, wrong]) == (
        "You played 1 of 2 notes. Bar 1: the left hand's G came late, the right hand's G was missed and "
        "G sharp was a wrong key."
    )
    assert "the G came late" in playing_told(FERRY, [left])

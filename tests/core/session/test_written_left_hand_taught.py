"""A lesson whose left hand is written out, with no chords: it is taught, repeated, joined and read back like any."""

import json

import pytest
from msgspec.structs import replace

from core.edits.set_words import set_words
from core.session.inspection import inspect_song
from core.session.running_order import Segment, running_order
from core.session.script_check import check_script
from core.session.segment_playing import segment_schedule
from core.song.note import Hand
from core.song.song import Song
from core.teaching.directions import COMPUTED_WORDS, computed_words
from core.teaching.naming import Naming
from tests.helpers.songs import night_ferry
from tests.helpers.two_hands import two_hand_song, two_hands, written_left_hands

MELODY = "E4 F4 G4 A4 G4 F4 E4 C4"
BROKEN = "C3 G3 E3 G3 B2 G3 D3 G3"


def segments(song: Song) -> dict[tuple[str, int], Segment]:
    return {(segment.kind, segment.parts[-1]): segment for segment in running_order(song)}


def lesson() -> Song:
    other = two_hands("D4 E4 F4 G4 F4:2 D4:2", "G2 D3 B2 D3 G2:4")
    return two_hand_song(two_hands(MELODY, BROKEN), other, two_hands(MELODY, BROKEN))


def test_the_left_hand_and_both_together_are_taught() -> None:
    found = segments(lesson())
    left, together = found["left_hand", 1], found["together", 1]
    assert left.say == (computed_words(lesson(), 1, "left_hand"),)
    assert left.say[0].startswith("Start on the C below middle C")
    assert left.on_screen == "Part 1 · left hand · C G E G B G D G"
    assert {play.hands for play in left.play} == {"left"}
    assert together.say == (computed_words(lesson(), 1, "together"),)
    assert {play.hands for play in together.play} == {"both"}


def test_keys_that_go_down_together_are_shown_joined() -> None:
    song = two_hand_song(two_hands("E4:4", "C3 E3+G3 E3+G3 C3"))
    assert segments(song)["left_hand", 1].on_screen == "Part 1 · left hand · C E+G E+G C"


def test_what_is_played_for_the_left_hand_is_what_is_written() -> None:
    left = segments(lesson())["left_hand", 1]
    events = segment_schedule(lesson(), left).events
    struck = {event.midi for event in events if event.midi}
    assert struck == {note.pitch.midi for note in lesson().part(1).hand(Hand.LEFT)}


def test_run_throughs_are_played_with_both_hands() -> None:
    found = segments(lesson())
    assert [play.hands for play in found["run_through", 3].play] == ["both"]


def test_a_part_that_comes_back_is_told_in_one_sentence_and_played_with_both_hands() -> None:
    third = [segment for segment in running_order(lesson()) if segment.parts == (3,)]
    assert [(segment.kind, segment.say) for segment in third] == [("together", ("Part 3 is part 1 again.",))]
    assert [play.hands for play in third[0].play] == ["both"]


def test_a_part_with_the_left_hand_of_another_says_so() -> None:
    ending = MELODY.removesuffix("C4") + "D4"
    song = two_hand_song(two_hands(MELODY, BROKEN), two_hands(ending, BROKEN))
    found = segments(song)
    assert found["left_hand", 2].say == ("The left hand is the same as in part 1.",)


def test_hands_are_not_said_to_meet_alike_where_another_note_is_met() -> None:
    ending = MELODY.removesuffix("C4") + "D4"
    found = segments(two_hand_song(two_hands(MELODY, BROKEN), two_hands(ending, BROKEN)))
    assert found["together", 2].say == ("Both hands strike together on every note, from C with the first E on.",)
    held = BROKEN.replace("D3 G3", "D3:2")
    found = segments(two_hand_song(two_hands(MELODY, held), two_hands(ending, held)))
    assert found["together", 2].say == ("Both hands meet where they do in part 1.",)


def test_another_left_hand_under_the_same_melody_is_told_anew() -> None:
    song = two_hand_song(two_hands(MELODY, BROKEN), two_hands(MELODY, BROKEN.replace("E3", "C4")))
    assert segments(song)["left_hand", 2].say[0].startswith("Start on the C below middle C, up a fifth to G")


def test_a_melody_alone_is_taught_with_the_right_hand_alone() -> None:
    plain = replace(night_ferry(), parts=tuple(replace(part, chords=()) for part in night_ferry().parts))
    assert {segment.kind for segment in running_order(plain)} == {"opening", "right_hand", "run_through", "closing"}


@pytest.mark.parametrize("naming", Naming)
@pytest.mark.parametrize("number", range(len(written_left_hands())))
def test_computed_words_are_found_right(number: int, naming: Naming) -> None:
    song = two_hand_song(written_left_hands()[number])
    for kind in COMPUTED_WORDS:
        text = computed_words(song, 1, kind, naming)
        assert text
        assert check_script(song, 1, kind, text, naming) == ()


def test_what_is_said_is_inspected() -> None:
    first, *_ = json.loads(json.dumps(inspect_song(lesson(), {"parts"})))["parts"]
    assert first["left_hand"] == computed_words(lesson(), 1, "left_hand")
    assert first["together"] == computed_words(lesson(), 1, "together")


def test_words_of_ones_own_come_first() -> None:
    song = set_words(lesson(), 1, "left_hand", "Broken chords, gently.")
    assert segments(song)["left_hand", 1].say == ("Broken chords, gently.",)

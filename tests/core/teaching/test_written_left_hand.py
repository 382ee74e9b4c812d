"""Words for a left hand that is written out as notes, with no chords."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.song.note import Hand, Note
from core.song.part import in_order
from core.song.pitch import Pitch
from core.song.time import TICKS_PER_QUARTER
from core.teaching.counting import Counting
from core.teaching.directions import computed_words
from core.teaching.naming import Naming
from core.teaching.strikes import Stretch, stretches, strikes
from tests.helpers.two_hands import left_notes, two_hand_song, two_hands


def left(line: str, right: str = "E4:4", metre: str = "4/4") -> str:
    return computed_words(two_hand_song(two_hands(right, line), metre=metre), 1, "left_hand")


def together(right: str, line: str, metre: str = "4/4") -> str:
    return computed_words(two_hand_song(two_hands(right, line), metre=metre), 1, "together")


def test_the_notes_are_named_in_order_like_the_right_hands() -> None:
    assert left("C3 D3 E3 C3 B2 G2 C3:2") == (
        "Start on the C below middle C; up by step: D, E; down a third to C, down a step to B. "
        "Down a third to G, up a fourth to C and hold it for two beats."
    )


def test_waits_are_said() -> None:
    assert left("-:2 C3 - G3") == (
        "Wait two beats, then start on the C below middle C. Wait one beat. Then up a fifth to G."
    )


def test_keys_that_go_down_together_are_named_from_the_lowest_up() -> None:
    assert left("C3+E3+G3:2 C3+E3+G3:2 B2+D3+G3:4") == (
        "Start on the C below middle C with E and G, C with E and G again, each for two beats. "
        "Down a step to B with D and G for four beats."
    )


def test_a_waltz_is_told_stroke_by_stroke() -> None:
    assert left("C3 E3+G3 E3+G3 B2 F3+G3 F3+G3", metre="3/4").startswith(
        "Start on the C below middle C, up a third to E with G, E with G again, down a fourth to B."
    )


def test_keys_played_nearly_at_once_are_meant_together() -> None:
    song = two_hand_song(two_hands("E4:4", "C3:4"))
    note = song.part(1).hand(Hand.LEFT)[0]
    late = Note(TICKS_PER_QUARTER // 20, note.duration, Pitch.parse("G3"), Hand.LEFT, melody=False)
    part = replace(song.part(1), notes=in_order([*song.part(1).notes, late]))
    assert computed_words(song.with_part(1, part), 1, "left_hand") == (
        "Start on the C below middle C with G for four beats."
    )


def test_a_figure_that_comes_again_at_once_is_said_once() -> None:
    figure, other = "C3:0.5 G3:0.5 E3:0.5 G3:0.5 ", "B2:0.5 G3:0.5 F3:0.5 G3:0.5 "
    assert left(figure * 4 + other * 2) == (
        "Most notes here last half a beat. Start on the C below middle C, up a fifth to G, down a third to E, "
        "back up to G. Play the last four notes three times more. Down a sixth to B, back up to G, down a step to F, "
        "back up to G. Play the last four notes once more."
    )


def test_a_figure_is_another_where_a_length_is_another() -> None:
    assert "more" not in left("C3 G3 E3 G3 C3 G3 E3:0.5 G3:0.5")


def test_strokes_of_several_keys_that_come_again_are_called_strokes() -> None:
    assert left("C3 E3+G3 D3 F3+A3 C3 E3+G3 D3 F3+A3").endswith("Play the last four strokes once more.")


def test_octaves_all_the_way_are_said_once() -> None:
    assert left("C2+C3:2 D2+D3:2 G1+G2:4") == (
        "Octaves all the way; the lower notes are named. Start on the second C below middle C, up a step to D, "
        "each for two beats. Down a fifth to G for four beats."
    )


def test_a_key_that_stays_down_under_others_is_said_to_stay() -> None:
    assert left("C3:4/1 G3 E3 G3", "E4:4").startswith(
        "Start on the C below middle C. Keep C down for four beats in all. Up a fifth to G"
    )


def test_grace_notes_are_said() -> None:
    song = two_hand_song(two_hands("E4:4", "C3:2 G3:2"))
    grace = Note(2 * TICKS_PER_QUARTER, 0, Pitch.parse("F#3"), Hand.LEFT, melody=False)
    part = replace(song.part(1), notes=in_order([*song.part(1).notes, grace]))
    words = computed_words(song.with_part(1, part), 1, "left_hand")
    assert words.endswith("up a fifth to a quick grace note F sharp into G, each for two beats.")


def test_a_hand_that_has_nothing_to_play_gets_no_words() -> None:
    assert left("-:4") == ""
    assert together("E4:4", "-:4") == ""
    assert together("-:4", "C3:4") == ""


def test_what_is_struck_together_is_told_by_the_melody_note() -> None:
    assert together("E4:2 G4:2 E4:4", "C3:1 G3:1 C3:1 E3:1 C3+G3:4") == (
        "Every right-hand note falls with the left hand. C falls with the first E, then G alone, "
        "then C with the G, then E alone. Then C and G fall with the last E."
    )


def test_a_long_way_alone_is_counted() -> None:
    assert together("E4:4", " ".join(["C3:0.5 G3:0.5 E3:0.5 G3:0.5"] * 2)).endswith(
        "C falls with the E, then seven notes alone."
    )


def test_hands_that_always_strike_together_are_told_in_one_sentence() -> None:
    assert together("E4 F4 G4 E4", "C3 D3 E3 C3") == (
        "Both hands strike together on every note, from C with the first E on."
    )


def test_a_left_hand_that_never_moves_alone_is_said_to_do_so() -> None:
    assert together("E4 F4 G4 A4", "C3:2 E3:2") == (
        "The left hand never moves alone. C falls with the E, then E with the G."
    )


def test_hands_that_never_meet_are_told_by_what_comes_next() -> None:
    assert together("- E4 - D4", "C3 - G3 -") == (
        "No note of the left hand falls with a melody note. C lands alone, one beat before the E. "
        "Then G lands alone, one beat before the D."
    )


@pytest.mark.parametrize("naming", Naming)
def test_notes_are_called_as_the_teacher_calls_them(naming: Naming) -> None:
    song = two_hand_song(two_hands("E4:2 G4:2", "C3 B2 C3 E3+G3"))
    named = {
        Naming.LETTERS: "down a step to B", Naming.SIGNS: "down a step to B", Naming.GERMAN: "down a step to H",
        Naming.SYLLABLES: "down a step to Si", Naming.DEGREES: "down a step to seven",
    }  # fmt: skip  # a table, read line by line
    assert named[naming] in computed_words(song, 1, "left_hand", naming)


def any_left_hand() -> st.SearchStrategy[str]:
    names = st.sampled_from(
        ["C2", "G2", "C3", "E3", "G3", "F#3", "Bb3", "C4", "C2+C3", "E3+G3", "C3+E3+G3", "-", "Gb4+Cbb5+Db5+Eb5"]
    )
    lengths = st.sampled_from(["0.25", "0.5", "1", "1.5", "2", "3/1", "4/0.5"])
    return st.lists(st.builds("{}:{}".format, names, lengths), min_size=1, max_size=24).map(" ".join)


@settings(max_examples=60, deadline=None)
@given(any_left_hand())
def test_every_sentence_can_be_said_in_one_breath(line: str) -> None:
    melody = "C4 E4 G4:2 E4:0.5 F4:0.5 G4 A4 B4 C5:2 " * 4
    song = two_hand_song(two_hands(melody, line))
    for kind in ("left_hand", "together"):
        for sentence in re.split(r"(?<=[.])\s", computed_words(song, 1, kind)):
            assert len(sentence.split()) <= 24, sentence


@settings(max_examples=60, deadline=None)
@given(any_left_hand())
def test_every_stroke_is_told_or_comes_again(line: str) -> None:
    struck = strikes(left_notes(line), Counting.of(two_hand_song(two_hands("E4", "C3")).metre))
    cut = stretches([(one.keys, one.lowest.duration) for one in struck], lambda one, other: one == other)
    told = [one for each in cut for one in [*range(each.first, each.end)] * (each.more + 1)]
    assert [struck[place].keys for place in told] == [strike.keys for strike in struck]


def test_a_figure_is_cut_out_where_it_begins() -> None:
    assert stretches("xabcdabcdabcdy", lambda one, other: one == other) == [
        Stretch(0, 1, 0), Stretch(1, 5, 2), Stretch(13, 14, 0)
    ]  # fmt: skip  # one line for each list

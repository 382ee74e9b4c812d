"""Words read against the part they are said of."""

import json

import pytest

from core.edits.set_words import set_words
from core.session.analysis import analyse_part
from core.session.inspection import inspect_song
from core.session.script_check import check_script
from core.teaching.directions import computed_words
from core.teaching.naming import Naming
from tests.helpers.songs import DEMO_SONGS, build, night_ferry


def sentences(text: str, kind: str = "right_hand") -> list[str]:
    return [finding.sentence for finding in check_script(night_ferry(), 1, kind, text)]


@pytest.mark.parametrize("naming", Naming)
@pytest.mark.parametrize("title", DEMO_SONGS)
def test_computed_words_are_right(title: str, naming: Naming) -> None:
    song = DEMO_SONGS[title]()
    for number in range(1, len(song.parts) + 1):
        for kind in ("right_hand", "left_hand", "together"):
            assert check_script(song, number, kind, computed_words(song, number, kind, naming), naming) == ()


def test_words_of_ones_own_that_are_right_are_left_alone() -> None:
    assert sentences("A little tune. First E, G, A and B; then A for two beats, G, and F sharp.") == []


def test_a_note_that_is_not_there_is_found_with_its_place() -> None:
    text = "Play E, G, A, B flat, A, G, F sharp."
    (finding,) = check_script(night_ferry(), 1, "right_hand", text)
    assert text[finding.start : finding.end] == "B flat"
    assert finding.sentence == ("The words name B flat, but the right hand of part 1 has no B flat; there it plays B.")


def test_a_note_left_out_or_said_twice_is_found() -> None:
    assert sentences("Play E, G, B, A, G, F sharp.") == [
        "The words leave out A, which the right hand of part 1 plays here."
    ]
    assert sentences("Play E, G, G, A, B, A, G, F sharp.") == [
        "The words name G, but the right hand of part 1 plays no G at this point."
    ]


def test_words_that_name_little_are_not_asked_for_the_rest() -> None:
    assert sentences("Remember the F sharp.") == []


def test_a_miscount_is_found() -> None:
    song = build("Same", "C major", "4/4", 80, [(8, "G G G G A - - -", [])])
    right = computed_words(song, 1, "right_hand")
    wrong = right.replace("three times", "four times")
    assert wrong != right
    assert [finding.sentence for finding in check_script(song, 1, "right_hand", wrong)] == [
        "The words say “four”, but three follow."
    ]


def test_a_chord_left_out_is_found() -> None:
    (finding,) = check_script(night_ferry(), 2, "left_hand", "A major: A, C sharp, E.")
    assert finding.sentence == "The words leave out G major, a chord of part 2."


def test_what_is_found_in_own_words_is_shown_and_inspected() -> None:
    song = set_words(night_ferry(), 1, "right_hand", "Play E, G, A, B flat, A, G, F sharp.")
    sentence = "The words name B flat, but the right hand of part 1 has no B flat; there it plays B."
    assert sentence in analyse_part(song, 1).to_look_at
    first, second, _ = json.loads(json.dumps(inspect_song(song, {"parts"})))["parts"]
    assert first["script_check"] == [{"kind": "right_hand", "start": 14, "end": 20, "sentence": sentence}]
    assert second["script_check"] == []

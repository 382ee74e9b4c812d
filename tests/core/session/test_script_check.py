"""Words read against the part they are said of."""

import json

import pytest

from core.edits.set_words import set_words
from core.handover.plan_json import plan_object
from core.handover.session_plan import session_plan
from core.session.analysis import analyse_part
from core.session.inspection import inspect_song
from core.session.lesson_settings import LessonSettings
from core.session.script_check import check_script, script_warnings
from core.song.pitch import NoteName
from core.teaching.directions import computed_words
from core.teaching.naming import Names, Naming
from tests.helpers.songs import DEMO_SONGS, build, heron_at_the_sluice, lamplighters_waltz, night_ferry


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


def test_what_is_found_in_own_words_is_a_warning_of_the_plan() -> None:
    song = set_words(night_ferry(), 2, "left_hand", "First A major, then G minor.")
    (warning,) = script_warnings(song)
    assert warning == ("Part 2, left hand: The words name G minor, which part 2 does not have; there it is G major.")
    assert plan_object(session_plan(song, LessonSettings()))["warnings"] == [warning]
    assert "warnings" not in plan_object(session_plan(night_ferry(), LessonSettings()))


@pytest.mark.parametrize(
    ("number", "kind", "text", "found"),
    [
        (1, "right_hand", "Start on the E below middle C, then G, A, B, A for two beats, G, F sharp.",
         "The words place it at the E below middle C, but it is the E above middle C."),
        (1, "right_hand", "Play E, G, A, B, then A for three beats, G, F sharp.",
         "The words hold A for three beats, but part 1 for two beats."),
        (1, "right_hand", "Play E, G, A, B, A, G, G flat.",
         "The words say G flat for the key that part 1 calls F sharp; keep to one name."),
        (1, "right_hand", "Start on E, down a third to G, up a step to A, B, A, G, F sharp.",
         "The words go down a third to G, but it is up a third."),
        (1, "right_hand", "This part has six notes: E, G, A, B, A, G, F sharp.",
         "The words say “six notes”, but seven follow."),
        (1, "right_hand", "The part has nine notes.", "The words say “nine notes”, but part 1 has seven."),
        (2, "right_hand", "C sharp, B, A, A, B for three beats. Wait one beat. Then B, A, G.",
         "The words wait one beat before the B, but in part 2 the wait is two beats."),
        (2, "left_hand", "A major is A, C, E. Then G major: G, B, D.",
         "The words spell A major with C, which is not in it."),
        (2, "left_hand", "A major: A, C sharp, E. Then G major: G, D.", "The words leave B out of G major."),
        (2, "left_hand", "A major for six beats, then G major.",
         "The words hold A major for six beats, but part 2 holds it for eight beats."),
        (2, "left_hand", "A major: A, C sharp, E. Then G major: G, B, D. Every finger moves one step up.",
         "Not every finger moves one step up to G major."),
        (2, "left_hand", "It has three chords, A major and G major.",
         "The words say “three chords”, but part 2 has two."),
        (2, "together", "A major lands with the C sharp. Then G major lands with the B.",
         "The words let G major land with B, but it lands alone."),
        (2, "together", "A major comes with the B. Then G major lands alone.",
         "The words let A major land with B, but it lands with the C sharp."),
        (2, "together", "A major lands alone. Then G major lands alone.",
         "The words let A major land alone, but it lands with the C sharp."),
        (3, "together", "D major lands with the second F sharp.",
         "The words let D major land with another F sharp; it lands with the first F sharp."),
        (2, "together", "A major lands with the C sharp. Then G major lands alone, two beats before the last B.",
         "The words say two beats, but it is one beat."),
    ],
)  # fmt: skip  # a table, read line by line
def test_faults_in_words_by_hand_are_found(number: int, kind: str, text: str, found: str) -> None:
    sentences = [finding.sentence for finding in check_script(night_ferry(), number, kind, text)]
    assert found in sentences


@pytest.mark.parametrize("naming", Naming)
def test_a_wrong_note_is_found_in_every_naming(naming: Naming) -> None:
    song = lamplighters_waltz()
    names = Names.of_part(song, 1, naming)
    first, second, *_ = song.part(1).melody
    words = computed_words(song, 1, "right_hand", naming)
    place = words.index(names.said(second.pitch.name), words.index(":"))
    wrong = words[:place] + names.said(NoteName("D")) + words[place + len(names.said(second.pitch.name)) :]
    assert first.pitch.name != second.pitch.name
    assert any(
        "leave out" in one.sentence or "name" in one.sentence
        for one in check_script(song, 1, "right_hand", wrong, naming)
    )


def test_words_by_hand_that_are_right_are_left_alone() -> None:
    for number, kind, text in (
        (1, "right_hand", "Listen for the long A in the middle. As before, start low and go up."),
        (2, "right_hand", "C sharp, B, A twice, B for three beats. Count two beats of rest, then B, A, G."),
        (2, "left_hand", "Two chords. A major (A, C sharp, E) fills two bars; G major is one step down."),
        (3, "together", "Both hands begin together: D major under the first F sharp. E minor comes with the E."),
    ):
        assert check_script(night_ferry(), number, kind, text) == (), text
    assert check_script(heron_at_the_sluice(), 1, "right_hand", "Count six; each C sharp and E lasts two counts.") == ()


def test_a_run_of_one_note_told_by_times_is_counted() -> None:
    song = build("Same", "C major", "4/4", 80, [(8, "G G G G A - - -", [])])
    assert check_script(song, 1, "right_hand", "Play G four times, then A.") == ()
    (finding,) = check_script(song, 1, "right_hand", "Play G three times, then A.")
    assert finding.sentence == "The words say “three times”, but the right hand of part 1 plays G four times there."

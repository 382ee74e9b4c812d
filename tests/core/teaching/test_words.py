import re
from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.edits.remove_chord import remove_chord
from core.edits.set_right_hand_line import set_right_hand_line
from core.edits.split_part import split_part
from core.song.metre import Metre, MetreChange
from core.song.note import Note
from core.song.part import Part, Teaching
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from core.teaching.counting import PLAIN_PARTS, Counting
from core.teaching.directions import computed_words
from core.teaching.keyboard_places import keyboard_place
from core.teaching.landings import landings
from core.teaching.left_hand_words import left_hand_words
from core.teaching.naming import Naming
from core.teaching.number_words import beats_words, listed, ordinal_word
from core.teaching.right_hand_words import right_hand_words
from core.teaching.together_words import together_words
from tests.helpers.songs import DEMO_SONGS, build, heron_at_the_sluice, lamplighters_waltz, night_ferry

Q = TICKS_PER_QUARTER
NAME = re.compile(r"\b([A-G])( double| triple)?( sharp| flat)?\b")


def names_said(words: str) -> list[str]:
    return ["".join(found) for found in NAME.findall(words.replace("middle C", ""))]


def names_played(part: Part) -> list[str]:
    return [note.pitch.name.spoken for note in part.melody]


def line(text: str, length: float = 8, metre: str = "4/4") -> Song:
    return build("A line", "C major", metre, 80, [(length, text, [])])


def test_a_line_is_told_with_directions_and_lengths() -> None:
    assert right_hand_words(night_ferry(), 1) == (
        "Start on the E above middle C, up a third to G; up by step: A, B; back down to A for two beats. "
        "Down by step: G, F sharp."
    )


def test_waits_and_held_notes_are_said() -> None:
    words = right_hand_words(night_ferry(), 2)
    assert "up a step to B for three beats. Wait two beats. Then B again" in words
    assert right_hand_words(night_ferry(), 3).endswith("Down a step to E and hold it for four beats.")


def test_repeated_notes_are_counted_and_each_is_named() -> None:
    assert "the same three times more: G, G, G" in right_hand_words(line("G G G G A - - -"), 1)
    assert "G again" in right_hand_words(line("G G A B c - - -"), 1)


def test_a_rest_before_the_first_note_is_said() -> None:
    assert right_hand_words(line(". . E F G A B c"), 1).startswith("Wait two beats, then start on the E above")


def test_the_usual_length_is_said_where_it_is_not_a_beat() -> None:
    words = right_hand_words(line("C:1/2 D:1/2 E:1/2 F:1/2 G - - -"), 1)
    assert words.startswith("Most notes here last half a beat. Start on the C in the middle of the keyboard;")
    assert words.endswith("and hold it for four beats.")


def test_a_length_that_neighbours_share_is_said_once_behind_them() -> None:
    assert right_hand_words(line("C:2 E:2 G:2 D E"), 1) == (
        "Start on the C in the middle of the keyboard, up a third to E, up a third to G, each for two beats. "
        "Down a fourth to D, up a step to E."
    )
    assert "; the same twice more: C, C, each for two beats." in right_hand_words(line("C:2 C:2 C:2 D C", 12), 1)


def test_lengths_that_take_turns_are_said_once_before_them() -> None:
    words = right_hand_words(line("C:3/2 D:1/2 E:3/2 F:1/2 G:3/2 E:1/2 C:2"), 1)
    assert words.startswith("The first six notes go long, short: a beat and a half, then half a beat. Start on the C")
    assert words.count("half a beat") == 1


def test_steps_that_are_no_steps_on_the_keyboard_are_counted_in_half_steps() -> None:
    assert "up three half steps to D sharp, down a half step to D." in right_hand_words(line("C D# D"), 1)


def test_notes_to_and_fro_are_told_as_that() -> None:
    assert "down a step to D; back and forth: E, D, E; down a third to C" in right_hand_words(line("E D E D E C"), 1)


def test_a_played_line_is_told_in_the_rhythm_that_is_meant() -> None:
    """Detached, overlapping and unsteady notes; a gap that long before the last one is a rest."""
    written = line("C D E F . G").part(1)
    played = [(0, 0.7), (0.97, 1.2), (2.04, 0.6), (3.01, 0.95), (5.03, 1.05)]
    notes = tuple(
        replace(note, onset=round(onset * Q), duration=round(length * Q))
        for note, (onset, length) in zip(written.notes, played, strict=True)
    )
    song = line("C D E F . G")
    assert right_hand_words(song.with_part(1, replace(written, notes=notes)), 1) == right_hand_words(song, 1)


@given(st.integers(1, 8 * Q))
def test_a_length_near_a_plain_one_is_said_as_that(ticks: int) -> None:
    counting = Counting(Q, "beat")
    words, off = counting.words(ticks), abs(counting.plain(ticks) - ticks)
    nearest = min(abs(Fraction(ticks, Q) - whole - part) for whole in range(10) for part in PLAIN_PARTS if whole + part)
    assert ("about" in words) == (nearest > Fraction(1, 12))
    assert off * 12 <= Q


def test_a_part_that_comes_back_begins_with_that() -> None:
    first = line("C D E F G A G -").part(1)
    song = replace(line("C D E F G A G -"), parts=(first, replace(first, duration=first.duration)))
    assert right_hand_words(song, 2).startswith("Part 2 is part 1 again. Start on the C")
    untaught = replace(song, parts=(replace(first, teaching=Teaching(taught=False)), first))
    assert right_hand_words(untaught, 2).startswith("Start on the C")


def test_grace_notes_at_the_very_end_are_named() -> None:
    song = line("C D E - ")
    part = song.part(1)
    grace = Note(part.notes[-1].onset + 10, 0, Pitch.parse("F4"))
    assert right_hand_words(song.with_part(1, replace(part, notes=(*part.notes, grace))), 1).endswith(
        ", then a quick grace note F."
    )


def test_a_change_to_a_compound_metre_says_how_it_is_counted() -> None:
    part = line("C D E", 3, "3/4").part(1)
    song = Song("Two", (part, part), metres=(MetreChange(0, Metre(3, 4)), MetreChange(part.duration, Metre(6, 8))))
    assert "Count six in a bar; two beats of three. " in right_hand_words(song, 2)
    assert "Count" not in right_hand_words(song, 1)


def test_a_compound_metre_is_counted_in_its_short_notes() -> None:
    assert "for two counts" in right_hand_words(heron_at_the_sluice(), 1)


def test_a_part_without_melody_has_no_words() -> None:
    assert right_hand_words(line(""), 1) == ""


@pytest.mark.parametrize("make", [night_ferry, lamplighters_waltz, heron_at_the_sluice])
def test_every_note_of_a_demo_is_named_once_and_in_order(make: object) -> None:
    song = make()  # type: ignore[operator]  # parametrized values come in as objects
    for number, part in enumerate(song.parts, 1):
        assert names_said(right_hand_words(song, number)) == names_played(part)


@settings(max_examples=150, deadline=None)
@given(
    st.lists(
        st.tuples(st.sampled_from("CDEFGABcdefgab"), st.sampled_from(["", "#", "b"]), st.sampled_from([1, 2, 3, 6])),
        min_size=1,
        max_size=24,
    ),
    st.sampled_from(["4/4", "3/4", "6/8", "5/4"]),
)
def test_every_note_of_any_line_is_named_once_and_in_order(notes: list[tuple[str, str, int]], metre: str) -> None:
    text = " ".join(f"{letter}{sign}:{length}/2" for letter, sign, length in notes)
    song = line(text, 80, metre)
    words = right_hand_words(song, 1)
    assert names_said(words) == names_played(song.part(1))
    assert not re.search(r"\bA (step|third|fourth|half|beat|note|quick)", words)


def test_places_on_the_keyboard_need_no_notation() -> None:
    places = {text: keyboard_place(Pitch.parse(text)) for text in ("C4", "E4", "E5", "B3", "C5", "C6", "Bb2", "C#4")}
    assert places == {
        "C4": "C in the middle of the keyboard",
        "E4": "E above middle C",
        "E5": "second E above middle C",
        "B3": "B below middle C",
        "C5": "C above middle C",
        "C6": "second C above middle C",
        "Bb2": "second B flat below middle C",
        "C#4": "C sharp above middle C",
    }


def test_chords_are_named_spelled_and_compared() -> None:
    assert left_hand_words(night_ferry(), 2) == (
        "A major for eight beats: A, C sharp, E, up from the A below middle C. "
        "Then G major for four beats: G, B, D. Every finger moves one step down."
    )
    assert "Then D flat minor: D flat, F flat, A flat. Keep D flat and A flat, move F to F flat." in left_hand_words(
        lamplighters_waltz(), 3
    )


def test_a_length_that_chords_share_is_said_once_before_them() -> None:
    assert left_hand_words(lamplighters_waltz(), 5) == (
        "Two chords, each for three beats. D flat minor: D flat, F flat, A flat, up from the D flat below middle C. "
        "Then E flat seven: E flat, G, B flat, D flat. Then A flat major for six beats: A flat, C, E flat."
    )


def test_a_chord_that_comes_back_is_not_spelled_again() -> None:
    chords = [(0.0, 2.0, "F"), (2.0, 2.0, "C"), (4.0, 2.0, "F"), (6.0, 2.0, "C"), (8.0, 4.0, "F")]
    song = build("Again", "F major", "4/4", 80, [(12, "c - - - " * 3, chords)])
    assert left_hand_words(song, 1) == (
        "Four chords, each for two beats. F major: F, A, C, up from the F below middle C. Then C major: C, E, G. "
        "Then F major and C major again. Then F major again for four beats."
    )


def test_waits_of_the_left_hand_are_said() -> None:
    song = build("Gaps", "C major", "4/4", 80, [(16, "C - - -", [(1, 3, "C"), (8, 4, "C"), (12, 4, "N.C.")])])
    assert left_hand_words(song, 1) == (
        "Wait one beat. Then C major for three beats: C, E, G, up from the C below middle C. "
        "Wait four beats. Then C major again for four beats. Then the left hand rests for four beats."
    )


def test_a_chord_held_over_a_cut_is_not_struck_again() -> None:
    song = split_part(night_ferry(), 1, 4 * Q)
    assert left_hand_words(song, 2).startswith(
        "E minor for four beats, the chord part 1 ends on: E, G, B, up from the E below middle C."
    )
    assert together_words(song, 2) == "E minor is still down from part 1."
    assert landings(song.part(2)) == ()


def test_landings_name_the_note_or_how_the_chord_lands_alone() -> None:
    assert together_words(night_ferry(), 2) == (
        "A major lands with the C sharp. Then G major lands alone, one beat before the last B."
    )
    assert together_words(night_ferry(), 3) == "D major lands with the first F sharp, then E minor with the E."


def test_a_landing_under_a_held_note_says_so() -> None:
    song = build("Held", "C major", "4/4", 80, [(8, "C - - - D - - -", [(0, 2, "C"), (2, 6, "G")])])
    assert "G major lands alone while you hold the C, two beats before the D." in together_words(song, 1)


def test_a_landing_under_the_last_note_says_when() -> None:
    song = build("Held", "C major", "4/4", 80, [(8, "D C:7", [(5, 3, "F")])])
    assert together_words(song, 1) == "F major lands alone, four beats into the C."


def test_a_note_past_the_third_of_its_name_is_told_by_its_place() -> None:
    song = build("Many", "C major", "4/4", 80, [(8, "G G G G G G G G", [(4, 2, "C"), (6, 2, "F")])])
    assert together_words(song, 1) == (
        "C major lands with the G on beat one of bar 2. Then F major lands with the G on beat three of bar 2."
    )


def test_a_usual_length_is_said_of_four_notes_or_more() -> None:
    assert "Most notes" not in right_hand_words(line("F:1/2 f:2"), 1)
    assert "Most notes" not in right_hand_words(line("C:1/2 D:1/2 E F"), 1)


def test_two_landings_with_a_note_are_one_sentence() -> None:
    assert together_words(lamplighters_waltz(), 5) == (
        "D flat minor lands with the F flat, then E flat seven with the G. "
        "Then A flat major lands with the last A flat."
    )


def test_a_landing_counts_notes_of_its_name() -> None:
    found = landings(night_ferry().part(3))
    assert [(landing.onset // Q, landing.nth, landing.of) for landing in found] == [(0, 1, 3), (8, 1, 1)]


def test_without_chords_there_is_nothing_to_say_for_the_left_hand() -> None:
    song = remove_chord(night_ferry(), 1, 0)
    assert left_hand_words(song, 1) == together_words(song, 1) == ""


def test_words_are_made_in_every_way_of_naming() -> None:
    song = heron_at_the_sluice()
    starts = {
        naming: (computed_words(song, 1, "right_hand", naming), computed_words(song, 1, "left_hand", naming))
        for naming in Naming
    }
    assert {naming: right.split(",")[0] for naming, (right, _) in starts.items()} == {
        Naming.LETTERS: "Start on the G sharp above middle C",
        Naming.SIGNS: "Start on the G♯ above middle C",
        Naming.GERMAN: "Start on the Gis above middle C",
        Naming.SYLLABLES: "Start on the Sol sharp above middle Do",
        Naming.DEGREES: "Start on five",
    }
    assert starts[Naming.GERMAN][1].startswith("Wait one count. Then Cis minor for")
    assert ": Do sharp, Mi, Sol sharp, up from the Do sharp below middle Do." in starts[Naming.SYLLABLES][1]
    assert starts[Naming.DEGREES][1].startswith("Wait one count. Then chord one minor for")
    assert ": one, three, five, up from the C sharp below middle C." in starts[Naming.DEGREES][1]


@pytest.mark.parametrize("make", DEMO_SONGS.values())
def test_a_sentence_is_said_in_one_breath(make: Callable[[], Song]) -> None:
    song = make()
    for number in range(1, len(song.parts) + 1):
        for kind in ("right_hand", "left_hand", "together"):
            assert all(len(sentence.split()) <= 24 for sentence in computed_words(song, number, kind).split(". "))


def test_words_follow_an_edit() -> None:
    song = set_right_hand_line(night_ferry(), 1, "E G A c | A - G F#")
    assert "up by step: A" not in right_hand_words(song, 1)
    assert names_said(right_hand_words(song, 1)) == names_played(song.part(1))


def test_lengths_are_said_as_people_say_them() -> None:
    said = [beats_words(Fraction(length)) for length in ("1", "2", "1/2", "3/2", "5/2", "1/3", "7/5", "1/7")]
    assert said == [
        "one beat",
        "two beats",
        "half a beat",
        "a beat and a half",
        "two beats and a half",
        "a third of a beat",
        "about a beat and a half",
        "about a quarter of a beat",
    ]
    assert listed(["E", "G", "B"]) == "E, G and B"
    assert [ordinal_word(number) for number in (1, 12, 21, 22, 33)] == ["first", "twelfth", "21st", "22nd", "33rd"]


def test_two_notes_that_begin_together_are_both_named() -> None:
    """A lesson file may hold that, although no edit makes it."""
    song = line("E G - -")
    first, second = song.part(1).notes
    together = replace(song.part(1), notes=(first, replace(second, onset=first.onset)))
    assert names_said(right_hand_words(song.with_part(1, together), 1)) == ["E", "G"]

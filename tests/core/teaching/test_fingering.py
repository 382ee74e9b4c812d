"""Fingers of lines and chords, what is kept, and the reasons given."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.song.hand_profile import HandProfile
from core.song.key import Key
from core.song.note import Hand, Note
from core.song.part import in_order
from core.song.pitch import Pitch
from core.teaching.fingering import finger_chord, finger_line, fingering_cost, hand_positions

EIGHTH = 5_040
HANDS = HandProfile()


def tune(names: str, hand: Hand = Hand.RIGHT) -> tuple[Note, ...]:
    """Legato eighths; ``-`` is an eighth rest."""
    return tuple(
        Note(place * EIGHTH, EIGHTH, Pitch.parse(name), hand) for place, name in enumerate(names.split()) if name != "-"
    )


def fingers(notes: tuple[Note, ...], hand: Hand = Hand.RIGHT) -> str:
    return "".join(str(fingered.finger) for fingered in finger_line(notes, hand, HANDS))


def reasons(notes: tuple[Note, ...], hand: Hand = Hand.RIGHT) -> list[str]:
    return [fingered.reason for fingered in finger_line(notes, hand, HANDS)]


def chord(names: str, hand: Hand) -> str:
    return "".join(map(str, finger_chord([Pitch.parse(name) for name in names.split()], hand, HANDS)))


def test_nothing_to_finger_gives_no_fingers() -> None:
    assert finger_line((), Hand.RIGHT, HANDS) == ()
    assert finger_chord((), Hand.LEFT, HANDS) == ()
    assert hand_positions((), Hand.LEFT, HANDS) == ()


def test_onsets_may_be_counted_from_anywhere() -> None:
    part = tune("E4 G4 A4 B4 A4 G4 F#4")
    song = tuple(replace(note, onset=note.onset + 123_456) for note in part)
    assert finger_line(part, Hand.RIGHT, HANDS) == finger_line(song, Hand.RIGHT, HANDS)


@pytest.mark.parametrize(
    ("names", "right", "left"),
    [
        # Triads and their inversions as taught to beginners (common practice).
        ("C4 E4 G4", "135", "531"),
        ("E4 G4 C5", "125", "531"),
        ("G4 C5 E5", "135", "521"),
        ("Ab3 C4 Eb4", "135", "531"),
        ("F#4 A#4 C#5", "135", "531"),
        ("C4 E4 G4 C5", "1235", "5321"),
        ("G3 B3 D4 F4", "1235", "5321"),
        ("C4 C5", "15", "51"),
        ("Eb4 Eb5", "15", "51"),
        ("C4 E4", "13", "31"),
        ("C4 G4", "15", "51"),
        ("C4", "1", "1"),
        ("C4 D4 E4 F4 G4", "12345", "54321"),
    ],
)
def test_chords_are_fingered_as_they_are_taught(names: str, right: str, left: str) -> None:
    assert chord(names, Hand.RIGHT) == right
    assert chord(names, Hand.LEFT) == left


def test_of_six_keys_the_thumb_takes_two() -> None:
    assert chord("C4 D4 E4 F4 G4 A4", Hand.RIGHT) == "112345"
    assert chord("C4 D4 E4 F4 G4 A4", Hand.LEFT) == "543211"


@given(
    st.lists(st.integers(48, 72), min_size=1, max_size=5, unique=True).map(sorted),
    st.sampled_from(Hand),
    st.integers(7, 17),
)
@settings(max_examples=40, deadline=None)
def test_the_fingers_of_a_chord_rise_away_from_the_thumb(midis: list[int], hand: Hand, reach: int) -> None:
    names = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
    pitches = [Pitch.parse(f"{names[midi % 12]}{midi // 12 - 1}") for midi in midis]
    found = finger_chord(pitches, hand, HandProfile(reach, reach))
    assert list(found) == sorted(set(found), reverse=hand is Hand.LEFT)


def test_the_teachers_own_fingers_are_kept_and_the_rest_is_found_around_them() -> None:
    notes = tune("C4 D4 E4 F4 G4")
    assert fingers(notes) == "12345"
    own = (*notes[:2], replace(notes[2], finger=1), *notes[3:])
    found = finger_line(own, Hand.RIGHT, HANDS)
    assert found[2].finger == 1
    assert found[2].reason == "the teacher's own finger"
    assert [fingered.finger for fingered in found[3:]] == [2, 3]


@given(st.lists(st.tuples(st.integers(55, 76), st.none() | st.integers(1, 5)), min_size=1, max_size=16))
@settings(max_examples=40, deadline=None)
def test_no_finger_of_the_teachers_is_ever_changed(line: list[tuple[int, int | None]]) -> None:
    names = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
    notes = tuple(
        Note(place // 2 * EIGHTH, EIGHTH, Pitch.parse(f"{names[midi % 12]}{midi // 12 - 1}"), finger=finger)
        for place, (midi, finger) in enumerate(line)
    )
    found = finger_line(in_order(list(notes)), Hand.RIGHT, HANDS)
    for note, fingered in zip(in_order(list(notes)), found, strict=True):
        assert note.finger is None or _same_key_twice(note, notes) or fingered.finger == note.finger


def _same_key_twice(note: Note, notes: tuple[Note, ...]) -> bool:
    return sum(other.onset == note.onset and other.pitch.midi == note.pitch.midi for other in notes) > 1


def test_a_repeated_note_keeps_its_finger() -> None:
    assert fingers(tune("E4 E4 F4 G4 G4 F4 E4 D4 C4 C4 D4 E4 E4 D4 D4")) == "334554321123322"


def test_a_tune_comes_back_to_the_finger_it_left_before_a_rest() -> None:
    assert fingers(tune("C4 D4 E4 - - E4 F4 G4")) == "123345"


def test_grace_notes_come_before_their_note_and_get_fingers_of_their_own() -> None:
    main = Note(EIGHTH, EIGHTH, Pitch.parse("E4"))
    graces = tuple(Note(EIGHTH, 0, Pitch.parse(name)) for name in ("D4", "F4"))
    notes = (Note(0, EIGHTH, Pitch.parse("C4")), *graces, main, Note(2 * EIGHTH, EIGHTH, Pitch.parse("G4")))
    found = fingers(notes)
    assert found == "12435"


def test_a_held_key_keeps_its_finger_and_no_other_note_asks_for_it() -> None:
    notes = (
        Note(0, 4 * EIGHTH, Pitch.parse("C4")),
        *(Note(place * EIGHTH, EIGHTH, Pitch.parse(name)) for place, name in enumerate(("E4", "F4", "G4", "F4"))),
    )
    found = fingers(in_order(list(notes)))
    assert found[0] == "1"
    assert "1" not in found[1:]


def test_a_bass_note_held_under_a_figure_leaves_the_figure_to_the_other_fingers() -> None:
    notes = in_order(
        [
            Note(0, 6 * EIGHTH, Pitch.parse("C3"), Hand.LEFT),
            *(
                Note(place * EIGHTH, EIGHTH, Pitch.parse(name), Hand.LEFT)
                for place, name in enumerate(("E3", "G3", "E3", "G3", "E3", "G3"))
            ),
        ]
    )
    assert fingers(notes, Hand.LEFT) == "5313131"


def test_two_voices_on_one_key_are_one_finger() -> None:
    notes = (Note(0, EIGHTH, Pitch.parse("E4")), Note(0, 2 * EIGHTH, Pitch.parse("E4")), *tune("- G4"))
    found = finger_line(notes, Hand.RIGHT, HANDS)
    assert found[0].finger == found[1].finger


def test_thirds_are_played_by_pairs_of_fingers() -> None:
    notes = in_order([*tune("C4 D4 E4 D4 C4"), *tune("E4 F4 G4 F4 E4")])
    assert fingers(notes) == "1324352413"


def returning(hand: Hand) -> tuple[str, str, str]:
    """The fingers of a figure that comes three times among other notes, but for its last note, which looks ahead."""
    figure = "E4 C5 B4 A4 G#4 A4"
    found = fingers(tune(f"{figure} D4 E4 F4 {figure} B4 C5 D5 {figure}", hand), hand)
    return found[:5], found[9:14], found[18:23]


@pytest.mark.parametrize("hand", Hand)
def test_a_passage_that_comes_back_is_fingered_as_before(hand: Hand) -> None:
    first, *later = returning(hand)
    assert later == [first, first]


@pytest.mark.parametrize("hand", Hand)
def test_nearly_every_passage_that_comes_back_among_other_notes_is_fingered_as_before(hand: Hand) -> None:
    chance = random.Random(12)
    rungs = "A3 B3 C4 D4 E4 F4 G4 A4 B4 C5 D5 E5".split()

    def wandering(length: int) -> list[str]:
        place, names = chance.randrange(3, 9), []
        for _ in range(length):
            place = max(0, min(11, place + chance.choice((-3, -2, -1, 1, 2, 3))))
            names.append(rungs[place])
        return names

    alike = 0
    for _ in range(40):
        figure, between = wandering(7), wandering(5)
        found = fingers(tune(" ".join([*figure, *between, *figure]), hand), hand)
        # The last note looks ahead.
        alike += found[:6] == found[12:18]
    assert alike >= 36


def test_a_narrow_hand_is_not_asked_for_a_wide_hold() -> None:
    octave = tune("C4 E4 G4 C5 G4 E4 C4")
    wide, narrow = HandProfile(right_reach=14), HandProfile(right_reach=8)
    line = [1, 2, 3, 5, 3, 2, 1]
    assert fingering_cost(octave, line, Hand.RIGHT, wide) < fingering_cost(octave, line, Hand.RIGHT, narrow)


def test_a_cost_is_asked_for_fingers_that_can_be() -> None:
    chord_notes = (Note(0, EIGHTH, Pitch.parse("C4")), Note(0, EIGHTH, Pitch.parse("E4")))
    with pytest.raises(ValueError, match="not in tuple"):
        fingering_cost(chord_notes, [3, 1], Hand.RIGHT, HANDS)


def test_four_avoids_a_thumb_on_a_black_key() -> None:
    found = finger_line(tune("F4 G4 A4 Bb4 C5 D5 E5 F5"), Hand.RIGHT, HANDS)
    assert "".join(str(fingered.finger) for fingered in found) == "12341234"
    assert found[3].reason == "4 avoids a thumb on B♭"
    assert found[4].reason == "thumb under 4 to go up, on to F"


def test_reasons_name_the_turn_of_the_thumb_in_either_hand() -> None:
    right = reasons(tune("C4 D4 E4 F4 G4 A4 B4 C5"))
    assert right[0] == "sets the hand down with the thumb on C, so that 3 falls on E"
    assert right[1] == "the next finger for the next step"
    assert right[2] == "3 leaves the thumb free for F"
    assert right[3] == "thumb under 3 to go up, on to C"
    left = reasons(tune("C3 D3 E3 F3 G3 A3 B3 C4", Hand.LEFT), Hand.LEFT)
    assert left[5] == "3 over the thumb to go up, on to C"


def test_every_finger_has_a_reason() -> None:
    notes = in_order([*tune("C4 E4 F#4 - Bb4 Bb4 G4 D4 C5 A3"), *tune("G4 - A4 - - D5")])
    for hand in Hand:
        for fingered in finger_line(notes, hand, HANDS):
            assert fingered.reason
            assert not fingered.reason.endswith(".")


def test_the_hands_positions_are_named_by_the_thumb() -> None:
    positions = hand_positions(tune("Eb4 F4 G4 Ab4 Bb4 Ab4 G4 F4 Eb4"), Hand.RIGHT, HANDS)
    assert [position.words for position in positions] == ["thumb on E♭"]
    assert (positions[0].first, positions[0].last, positions[0].onset) == (0, 8, 0)


def test_a_new_position_begins_where_the_thumb_passes() -> None:
    positions = hand_positions(tune("C4 D4 E4 F4 G4 A4 B4 C5"), Hand.RIGHT, HANDS)
    assert [position.words for position in positions] == ["thumb on C", "thumb on F"]
    assert positions[1].onset == 3 * EIGHTH


def test_a_position_without_the_thumb_is_named_by_the_finger_nearest_to_it() -> None:
    notes = tune("F#4 G#4 A#4 G#4 F#4 G#4")
    own = tuple(replace(note, finger=finger) for note, finger in zip(notes, (2, 3, 4, 3, 2, 3), strict=True))
    assert [position.words for position in hand_positions(own, Hand.RIGHT, HANDS)] == ["2 on F♯"]


def test_the_keys_under_both_ends_of_the_hand_are_named_in_the_key() -> None:
    notes = tune("F4 G4 Ab4 G4 F4")
    own = tuple(replace(note, finger=finger) for note, finger in zip(notes, (2, 3, 4, 3, 2), strict=True))
    (position,) = hand_positions(own, Hand.RIGHT, HANDS, Key.parse("Eb major"))
    assert position.whole_words == "thumb on E♭ to fifth finger on B♭"
    assert (position.thumb.plain, position.little.plain) == ("Eb4", "Bb4")


def test_the_left_hands_thumb_is_its_highest_finger() -> None:
    (position,) = hand_positions(tune("C3 D3 E3 F3 G3", Hand.LEFT), Hand.LEFT, HANDS)
    assert (position.thumb.plain, position.little.plain) == ("G3", "C3")


def test_at_the_end_of_the_keyboard_a_finger_without_a_key_is_named_by_its_neighbour() -> None:
    (position,) = hand_positions((Note(0, EIGHTH, Pitch.parse("G9"), finger=2),), Hand.RIGHT, HANDS)
    assert position.little.plain == "G9"


def test_where_a_hand_is_set_down_says_what_for() -> None:
    found = reasons(tune("C#5 B4 A4 A4 B4"))
    assert fingers(tune("C#5 B4 A4 A4 B4"))[0] != "1"
    assert ", so that " in found[0]
    assert found[0].endswith("falls on A")


@pytest.mark.parametrize(
    ("names", "own", "said"),
    [
        ("C4 E4", (1, 1), "though 1 jumps here from C"),
        ("E4 C4", (2, 3), "though 3 crosses 2"),
        ("C4 D5", (2, 3), "though 2 and 3 do not reach so far: the hand is lifted"),
        ("A4 C4", (3, 1), ""),
        ("C4 D4", (1, 2), ""),
    ],
)
def test_a_finger_of_the_teachers_that_a_hand_can_hardly_play_is_kept_and_said(
    names: str, own: tuple[int, ...], said: str
) -> None:
    notes = tuple(replace(note, finger=finger) for note, finger in zip(tune(names), own, strict=True))
    assert fingers(notes) == "".join(map(str, own))
    assert reasons(notes)[1] == ("the teacher's own finger, " + said if said else "the teacher's own finger")


def test_one_finger_on_two_keys_of_a_chord_is_said_but_for_the_thumb_on_neighbours() -> None:
    def own(names: str, given: tuple[int, ...]) -> list[str]:
        chord_notes = tuple(
            Note(0, EIGHTH, Pitch.parse(name), finger=finger) for name, finger in zip(names.split(), given, strict=True)
        )
        return reasons(chord_notes)

    assert own("C4 G4", (3, 3)) == ["the teacher's own finger, though 3 has two keys at once"] * 2
    assert own("C4 G4", (4, 2)) == ["the teacher's own finger, though the fingers of the chord cross"] * 2
    assert own("C4 D4", (1, 1)) == ["the teacher's own finger"] * 2


def test_a_leap_beyond_the_fingers_is_told_as_a_lift_and_not_as_a_stretch() -> None:
    notes = tuple(replace(note, finger=2) if place == 0 else note for place, note in enumerate(tune("Bb3 C5 C5")))
    found = finger_line(notes, Hand.RIGHT, HANDS)
    assert found[1].reason.startswith("the hand is lifted to C")


def test_no_little_finger_avoids_a_thumb() -> None:
    for fingered in finger_line(tune("C4 D4 E4 Eb5 - Ab4 G4 Eb4"), Hand.RIGHT, HANDS):
        assert not fingered.reason.startswith(("1 avoids", "5 avoids"))

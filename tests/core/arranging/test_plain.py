"""The plain melody is the top line of the right hand."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from core.arranging.plain import melody_of
from core.song.note import Hand, Note
from core.song.part import in_order
from core.song.pitch import Pitch

QUARTER = 10_080


def note(onset: float, duration: float, pitch: str, hand: Hand = Hand.RIGHT) -> Note:
    return Note(round(onset * QUARTER), round(duration * QUARTER), Pitch.parse(pitch), hand)


def test_a_single_line_is_all_melody() -> None:
    assert melody_of([note(0, 1, "E4"), note(1, 1, "G4"), note(2, 2, "E4")]) == (True, True, True)


def test_of_notes_struck_together_the_highest_is_melody() -> None:
    assert melody_of([note(0, 1, "C4"), note(0, 1, "E4"), note(0, 1, "G4")]) == (False, False, True)


def test_the_left_hand_is_never_melody_even_when_it_is_higher() -> None:
    assert melody_of([note(0, 1, "C4"), note(0, 1, "G5", Hand.LEFT)]) == (True, False)


def test_an_inner_line_under_a_held_top_note_is_not_melody() -> None:
    notes = [note(0, 4, "C5"), note(1, 1, "E4"), note(2, 1, "F4"), note(4, 1, "B4")]
    assert melody_of(notes) == (True, False, False, True)


def test_a_slightly_overheld_note_does_not_swallow_a_lower_one() -> None:
    assert melody_of([note(0, 1.1, "C5"), note(1, 1, "A4")]) == (True, True)


def test_grace_notes_stay_out_of_the_plain_version() -> None:
    assert melody_of([note(0, 0, "D5"), note(0, 1, "C5")]) == (False, True)


def test_the_same_key_struck_twice_at_once_is_one_melody_note_and_the_longer_one_stays() -> None:
    assert melody_of([note(0, 1, "C5"), note(0, 2, "C5")]) == (False, True)


NOTES = st.lists(
    st.builds(
        lambda onset, duration, midi, hand: note(
            onset / 2, duration / 2, Pitch.named(Pitch.parse("C4").name, 60).in_octave(midi).plain, hand
        ),
        st.integers(0, 16),
        st.integers(0, 6),
        st.integers(2, 6),
        st.sampled_from(Hand),
    ),
    max_size=30,
).map(in_order)


@settings(max_examples=60)
@given(NOTES)
def test_at_most_one_melody_note_begins_at_a_moment(notes: tuple[Note, ...]) -> None:
    onsets = [each.onset for each, chosen in zip(notes, melody_of(notes), strict=True) if chosen]
    assert len(onsets) == len(set(onsets))


@settings(max_examples=60)
@given(NOTES)
def test_the_highest_right_hand_note_of_all_is_melody(notes: tuple[Note, ...]) -> None:
    right = [each for each in notes if each.hand is Hand.RIGHT and each.duration]
    if right:
        top = max(each.pitch.midi for each in right)
        chosen = melody_of(notes)
        assert any(chosen[index] and each.pitch.midi == top for index, each in enumerate(notes))

"""The hand of each note is found from onset, duration and pitch."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from core.song.note import Hand
from core.teaching.hands import assign_hands

QUARTER = 10_080


def played(*notes: tuple[float, float, int]) -> list[tuple[int, int, int]]:
    return [(round(onset * QUARTER), round(length * QUARTER), midi) for onset, length, midi in notes]


def test_no_notes_no_hands() -> None:
    assert assign_hands(()) == ()


def test_a_tune_over_low_chords_is_shared_between_the_hands() -> None:
    tune = played(*((float(beat), 1.0, 72 + beat % 5) for beat in range(16)))
    low = played(*((float(bar * 4), 4.0, key) for bar in range(4) for key in (48, 52, 55)))
    guesses = assign_hands(tune + low)
    assert [guess.hand for guess in guesses] == [Hand.RIGHT] * 16 + [Hand.LEFT] * 12
    assert all(guess.confidence > 0.5 for guess in guesses)


def test_guesses_come_in_the_order_of_the_notes() -> None:
    notes = played((4, 1, 72), (0, 4, 45), (0, 1, 74), (4, 4, 43))
    assert [guess.hand for guess in assign_hands(notes)] == [Hand.RIGHT, Hand.LEFT, Hand.RIGHT, Hand.LEFT]


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 40_000), st.integers(0, 40_000), st.integers(21, 108)), min_size=1, max_size=30)
)
def test_every_note_gets_a_hand_and_a_confidence(notes: list[tuple[int, int, int]]) -> None:
    guesses = assign_hands(notes)
    assert len(guesses) == len(notes)
    assert all(0 <= guess.confidence <= 1 for guess in guesses)

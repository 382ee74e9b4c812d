"""The hand of each note is found from onset, duration and pitch, with what is given."""

from __future__ import annotations

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from core.song.hand_profile import HandProfile
from core.song.note import Hand
from core.teaching.hand_reasons import hand_reasons
from core.teaching.hands import DOUBTFUL, WIDEST_REACH, _moved, assign_hands, is_one_line

QUARTER = 10_080
OTHER = {Hand.RIGHT: Hand.LEFT, Hand.LEFT: Hand.RIGHT}

Notes = list[tuple[int, int, int]]


def played(*notes: tuple[float, float, int]) -> Notes:
    return [(round(onset * QUARTER), round(length * QUARTER), midi) for onset, length, midi in notes]


def arrangements(lowest: int = 21, highest: int = 108) -> st.SearchStrategy[Notes]:
    """Notes on a grid of eighths, no key twice at once."""
    note = st.tuples(st.integers(0, 24), st.integers(1, 8), st.integers(lowest, highest))
    return st.lists(note, min_size=1, max_size=40, unique_by=lambda one: (one[0], one[2])).map(
        lambda found: played(*((onset / 2, length / 2, midi) for onset, length, midi in found))
    )


TUNE = played(*((float(beat), 1.0, 72 + beat % 5) for beat in range(16)))
LOW = played(*((float(bar * 4), 4.0, key) for bar in range(4) for key in (48, 52, 55)))


def test_no_notes_no_hands() -> None:
    assert assign_hands(()) == ()


def test_a_tune_over_low_chords_is_shared_between_the_hands() -> None:
    guesses = assign_hands(TUNE + LOW)
    assert [guess.hand for guess in guesses] == [Hand.RIGHT] * 16 + [Hand.LEFT] * 12
    assert all(guess.confidence > 0.5 for guess in guesses)


def test_a_tune_alone_is_the_right_hands_wherever_it_lies() -> None:
    low = [(onset, duration, midi - 24) for onset, duration, midi in TUNE]
    assert {guess.hand for guess in assign_hands(low)} == {Hand.RIGHT}
    assert is_one_line(TUNE)
    assert not is_one_line(TUNE + LOW)


def test_a_leaping_accompaniment_stays_in_one_hand() -> None:
    bars = range(4)
    waltz = played(
        *((3.0 * bar, 1, 36) for bar in bars),
        *((3.0 * bar + beat, 1, key) for bar in bars for beat in (1, 2) for key in (55, 60)),
    )
    melody = played(*((3.0 * bar + beat, 1, 76 + beat) for bar in bars for beat in (0, 1, 2)))
    guesses = assign_hands(waltz + melody)
    assert [guess.hand for guess in guesses] == [Hand.LEFT] * len(waltz) + [Hand.RIGHT] * len(melody)


def test_guesses_come_in_the_order_of_the_notes() -> None:
    notes = played((4, 1, 72), (0, 4, 45), (0, 1, 74), (4, 4, 43))
    assert [guess.hand for guess in assign_hands(notes)] == [Hand.RIGHT, Hand.LEFT, Hand.RIGHT, Hand.LEFT]


def test_no_hand_strikes_beyond_a_tenth_what_the_other_could_take() -> None:
    notes = played((0, 2, 36), (0, 2, 43), (0, 2, 55), (2, 2, 36), (2, 2, 48), (2, 2, 64), (4, 2, 38), (4, 2, 57))
    for start in (0, 2, 4):
        struck = [
            (note, guess.hand)
            for note, guess in zip(notes, assign_hands(notes), strict=True)
            if note[0] == start * QUARTER
        ]
        for hand in Hand:
            keys = [note[2] for note, which in struck if which is hand]
            assert not keys or max(keys) - min(keys) <= WIDEST_REACH


def test_what_lies_too_far_apart_for_a_hand_is_moved_to_the_other_one() -> None:
    """The middle key is out of the left hand's reach, and a wider hand keeps it."""
    notes = played((0, 2, 36), (0, 2, 53), (0, 2, 60))
    for reach, expected in ((12, Hand.RIGHT), (17, Hand.LEFT)):
        is_right, confidence = np.array([False, False, True]), np.full(3, 0.5)
        moved = _moved(notes, is_right, confidence, {}, HandProfile(left_reach=reach))
        assert (Hand.RIGHT if is_right[1] else Hand.LEFT) is expected
        assert moved == ({1} if expected is Hand.RIGHT else set())


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 40_000), st.integers(0, 40_000), st.integers(0, 127)), min_size=1, max_size=30)
)
def test_every_note_gets_a_hand_a_confidence_and_a_reason(notes: Notes) -> None:
    notes.sort()
    guesses = assign_hands(notes)
    assert len(guesses) == len(notes)
    assert all(0 <= guess.confidence <= 1 for guess in guesses)
    assert all(guess.is_doubtful is (guess.confidence < DOUBTFUL) for guess in guesses)
    reasons = hand_reasons(notes, [guess.hand for guess in guesses], guesses)
    assert len(reasons) == len(notes)
    assert all(reason.endswith(".") and reason[0].isupper() for reason in reasons)


@settings(max_examples=25, deadline=None)
@given(arrangements())
def test_in_a_mirror_the_hands_change_places(notes: Notes) -> None:
    mirrored = [(onset, duration, 129 - midi) for onset, duration, midi in notes]
    assume(not is_one_line(notes))
    for guess, image in zip(assign_hands(notes), assign_hands(mirrored), strict=True):
        assert image.confidence == guess.confidence
        assert image.moved is guess.moved
        if guess.confidence > 0:
            assert image.hand is OTHER[guess.hand]


@settings(max_examples=25, deadline=None)
@given(arrangements(), st.data())
def test_what_is_given_stays_and_is_certain(notes: Notes, data: st.DataObject) -> None:
    given_hands = data.draw(st.dictionaries(st.integers(0, len(notes) - 1), st.sampled_from(Hand), max_size=5))
    guesses = assign_hands(notes, given_hands)
    assert all(guesses[index].hand is hand and guesses[index].confidence == 1 for index, hand in given_hands.items())
    assert not any(guesses[index].moved for index in given_hands)


@settings(max_examples=20, deadline=None)
@given(arrangements(), st.permutations(range(40)))
def test_the_order_of_the_notes_is_no_matter(notes: Notes, shuffled: list[int]) -> None:
    order = [index for index in shuffled if index < len(notes)]
    guesses = assign_hands(notes)
    assert [guesses[index] for index in order] == list(assign_hands([notes[index] for index in order]))


@settings(max_examples=20, deadline=None)
@given(arrangements(), st.integers(1, 400))
def test_when_a_song_begins_is_no_matter(notes: Notes, later: int) -> None:
    moved = [(onset + later * QUARTER, duration, midi) for onset, duration, midi in notes]
    assert [guess.hand for guess in assign_hands(moved)] == [guess.hand for guess in assign_hands(notes)]


def test_an_octave_higher_or_lower_the_hands_stay() -> None:
    for octave in (-12, 12):
        moved = [(onset, duration, midi + octave) for onset, duration, midi in TUNE + LOW]
        assert [guess.hand for guess in assign_hands(moved)] == [Hand.RIGHT] * 16 + [Hand.LEFT] * 12


def test_a_correction_reaches_the_notes_beside_it() -> None:
    """An inner voice between two hands, which either could take: said of every other note, it holds of the rest."""
    bars = range(4)
    top = played(*((4.0 * bar, 4, 79) for bar in bars))
    bottom = played(*((4.0 * bar, 4, 43) for bar in bars))
    inner = played(*((beat / 2, 0.5, 60 + beat % 3) for beat in range(32)))
    notes = top + bottom + inner
    for hand in Hand:
        said = {8 + beat: hand for beat in range(0, 32, 2)}
        guesses = assign_hands(notes, said)
        rest = [guesses[8 + beat].hand for beat in range(1, 32, 2)]
        assert rest.count(hand) >= 14


def test_reasons_say_what_the_other_hand_does() -> None:
    notes = sorted(TUNE + LOW)
    guesses = assign_hands(notes)
    reasons = hand_reasons(notes, [guess.hand for guess in guesses], guesses)
    by_note = dict(zip(notes, reasons, strict=True))
    assert by_note[TUNE[1]] == "It lies above what the left hand holds there."
    assert by_note[LOW[0]] == "It lies below what the right hand strikes with it."

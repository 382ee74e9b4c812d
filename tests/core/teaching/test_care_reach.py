"""Notes beyond the hand are marked with something smaller; passages that tire a hand carry a caution."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.song.hand_profile import HandProfile
from core.song.note import Hand, Note
from core.song.part import in_order
from core.song.pitch import NoteName, Pitch
from core.song.tempo import TempoChange
from core.teaching.care import Caution, cautions
from core.teaching.effort_moments import PlayedNote
from core.teaching.reach import beyond_reach

QUARTER = 10_080
HANDS = HandProfile()


def together(names: str, hand: Hand, duration: int = QUARTER, melody: str = "") -> tuple[Note, ...]:
    return in_order(
        [Note(0, duration, Pitch.parse(name), hand, melody=name in melody.split()) for name in names.split()]
    )


def left_out(notes: tuple[Note, ...], hand: Hand, reach: int = 12) -> list[str]:
    return [notes[beyond.note].pitch.plain for beyond in beyond_reach(notes, hand, HandProfile(reach, reach))]


@pytest.mark.parametrize(
    ("names", "hand", "melody", "reach", "wanted"),
    [
        ("C3 G3 C4", Hand.LEFT, "", 12, []),
        ("C3 E4", Hand.LEFT, "", 12, ["E4"]),
        ("C3 E4", Hand.LEFT, "", 16, []),
        ("C4 E5", Hand.RIGHT, "", 12, ["C4"]),
        ("C4 E5", Hand.RIGHT, "C4", 12, ["E5"]),
        ("C3 G3 C4 E4", Hand.LEFT, "", 12, ["C3"]),
        ("C4 C5", Hand.RIGHT, "", 9, ["C4"]),
    ],
)
def test_the_least_important_key_is_left_out(
    names: str, hand: Hand, melody: str, reach: int, wanted: list[str]
) -> None:
    assert left_out(together(names, hand, melody=melody), hand, reach) == wanted


def test_a_chord_that_is_too_wide_may_be_left_smaller_or_rolled() -> None:
    (beyond,) = beyond_reach(together("C3 E4", Hand.LEFT), Hand.LEFT, HANDS)
    assert beyond.trouble == "the left hand has a tenth from C up to E"
    assert beyond.alternative == "leave out the upper E, or roll the chord from the lowest key up"


def test_a_chord_that_is_over_at_once_is_not_rolled() -> None:
    (beyond,) = beyond_reach(together("C3 E4", Hand.LEFT, QUARTER // 4), Hand.LEFT, HANDS)
    assert beyond.alternative == "leave out the upper E"


def test_a_held_key_is_let_go_when_a_far_one_comes() -> None:
    notes = (
        Note(0, 2 * QUARTER, Pitch.parse("C3"), Hand.LEFT, melody=False),
        Note(QUARTER, QUARTER, Pitch.parse("E4"), Hand.LEFT, melody=False),
    )
    (beyond,) = beyond_reach(notes, Hand.LEFT, HANDS)
    assert (beyond.note, beyond.onset) == (0, QUARTER)
    assert beyond.trouble == "the left hand holds C while it plays E, a tenth away"
    assert beyond.alternative == "let the C go there, or catch it with the pedal"


def test_an_accompaniment_gives_way_to_a_held_melody_note() -> None:
    notes = (
        Note(0, 2 * QUARTER, Pitch.parse("E5")),
        Note(QUARTER, QUARTER, Pitch.parse("C4"), melody=False),
    )
    (beyond,) = beyond_reach(notes, Hand.RIGHT, HANDS)
    assert (beyond.note, beyond.alternative) == (1, "leave out the C")


def test_more_keys_than_fingers_are_said() -> None:
    assert left_out(together("C4 D4 E4 F4 G4 A4", Hand.RIGHT), Hand.RIGHT) == []
    assert left_out(together("C4 D#4 E4 F4 G4 A4", Hand.RIGHT), Hand.RIGHT) == ["E4"]
    assert left_out(together("C4 D4 E4 F4 G4 A4 B4", Hand.LEFT), Hand.LEFT) == ["G4"]


@given(
    st.lists(st.tuples(st.integers(0, 8), st.integers(0, 4), st.integers(36, 84), st.booleans()), max_size=20),
    st.sampled_from(Hand),
    st.integers(7, 17),
)
@settings(max_examples=60, deadline=None)
def test_without_what_is_marked_everything_is_within_reach(
    played: list[tuple[int, int, int, bool]], hand: Hand, reach: int
) -> None:
    names = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
    notes = in_order(
        [
            Note(
                onset * QUARTER,
                length * QUARTER,
                Pitch.named(NoteName.parse(names[midi % 12]), midi),
                hand,
                melody=melody,
            )
            for onset, length, midi, melody in played
        ]
    )
    marked = {beyond.note: beyond for beyond in beyond_reach(notes, hand, HandProfile(reach, reach))}
    for moment in {note.onset for note in notes}:
        down = [
            note.pitch.midi
            for place, note in enumerate(notes)
            if note.onset <= moment < note.end and (place not in marked or moment < marked[place].onset)
        ]
        assert not down or max(down) - min(down) <= reach


def played(chords: Sequence[tuple[int, ...]], length: int, hand: Hand = Hand.RIGHT) -> list[PlayedNote]:
    return [PlayedNote(place * length, length, midi, hand) for place, chord in enumerate(chords) for midi in chord]


def found(notes: list[PlayedNote], bpm: float = 100.0, hands: HandProfile = HANDS) -> list[Caution]:
    return list(cautions(notes, hands, [TempoChange(0, bpm)]))


OCTAVES = [(48 + place % 7, 60 + place % 7) for place in range(16)]


def test_a_long_passage_of_octaves_carries_a_caution() -> None:
    (caution,) = found(played(OCTAVES, QUARTER, Hand.LEFT))
    assert (caution.kind, caution.hand, caution.strokes) == ("octaves", Hand.LEFT, 16)
    assert (caution.onset, caution.end) == (0, 16 * QUARTER)
    assert caution.seconds == pytest.approx(9.6)


def test_a_few_octaves_or_slow_ones_carry_none() -> None:
    assert found(played(OCTAVES[:11], QUARTER)) == []
    assert found(played(OCTAVES, 2 * QUARTER)) == []
    assert len(found(played(OCTAVES, 2 * QUARTER), bpm=200.0)) == 1


def test_a_rest_in_between_lets_the_hand_go() -> None:
    first, second = played(OCTAVES[:8], QUARTER), played(OCTAVES[8:], QUARTER)
    later = [PlayedNote(note.onset + 10 * QUARTER, note.duration, note.midi, note.hand) for note in second]
    assert found(first + later) == []


def test_chords_as_wide_as_the_hand_reaches_carry_a_caution() -> None:
    ninths = [(48 + place, 62 + place) for place in range(8)]
    (caution,) = found(played(ninths, QUARTER))
    assert caution.kind == "wide stretches"
    assert found(played(ninths, QUARTER), hands=HandProfile(16, 16)) == []
    sixths = [(48 + place, 57 + place) for place in range(8)]
    assert [caution.kind for caution in found(played(sixths, QUARTER), hands=HandProfile(9, 9))] == ["wide stretches"]


def test_the_same_keys_struck_fast_carry_a_caution() -> None:
    (caution,) = found(played([(60, 64)] * 16, QUARTER // 4), bpm=80.0)
    assert caution.kind == "fast repeats"
    assert found(played([(60, 64)] * 16, QUARTER // 2), bpm=80.0) == []


def test_scales_and_trills_of_two_keys_carry_none() -> None:
    assert found(played([(60 + place % 2,) for place in range(64)], QUARTER // 4)) == []


def test_a_caution_is_advice_that_leaves_the_last_word_to_others() -> None:
    (caution,) = found(played(OCTAVES, QUARTER))
    sentence = caution.sentence(3, 6)
    assert sentence.startswith("Bars 3 to 6: the right hand plays octaves, 16 in a row.")
    assert "stop before the hand is tired or if it hurts" in sentence
    assert "general advice" in sentence
    assert "a teacher who sees the hand, or a clinician, knows better" in sentence
    assert caution.sentence(3, 3).startswith("Bar 3:")

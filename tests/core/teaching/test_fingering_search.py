"""The search is exact, knows no left from right, no octave from another, and gives a rest its due."""

from __future__ import annotations

import random
from collections.abc import Sequence
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.song.hand_profile import HandProfile
from core.song.note import Hand, Note
from core.song.pitch import Pitch
from core.teaching.fingering import finger_line, fingering_cost
from core.teaching.fingering_passage import moments_of
from core.teaching.fingering_search import best_grips, cost_of, layers_of, steps_of

EIGHTH = 5_040
SPELLED = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
MIRRORED = {"C": "E", "Db": "D#", "D": "D", "Eb": "C#", "E": "C", "F": "B", "F#": "Bb"}
MIRRORED |= {"G": "A", "Ab": "G#", "A": "G", "Bb": "F#", "B": "F"}
REACH = HandProfile().reach(Hand.RIGHT)

hands = st.sampled_from(Hand)
midi_numbers = st.integers(48, 79)
melodies = st.lists(midi_numbers, min_size=1, max_size=24)
runs = st.builds(
    lambda start, sizes, up: [start + (1 if up else -1) * sum(sizes[:count]) for count in range(len(sizes) + 1)],
    st.integers(60, 67),
    st.lists(st.integers(1, 3), min_size=4, max_size=14),
    st.booleans(),
)
lengths = st.sampled_from((0, EIGHTH // 2, EIGHTH, 2 * EIGHTH, 5 * EIGHTH))


def pitch(midi: int) -> Pitch:
    return Pitch.parse(f"{SPELLED[midi % 12]}{midi // 12 - 1}")


def legato(midis: Sequence[int], hand: Hand = Hand.RIGHT) -> tuple[Note, ...]:
    return tuple(Note(place * EIGHTH, EIGHTH, pitch(midi), hand) for place, midi in enumerate(midis))


def fingers(notes: Sequence[Note], hand: Hand = Hand.RIGHT) -> tuple[int, ...]:
    return tuple(fingered.finger for fingered in finger_line(notes, hand, HandProfile()))


def least_cost(notes: Sequence[Note], hand: Hand = Hand.RIGHT) -> int:
    moments = moments_of(notes, hand, REACH)
    steps = steps_of(moments, REACH)
    return cost_of(moments, steps, best_grips(moments, steps))


@given(st.lists(midi_numbers, min_size=1, max_size=5), hands)
@settings(max_examples=15, deadline=None)
def test_no_fingering_of_a_short_phrase_costs_less(midis: list[int], hand: Hand) -> None:
    notes = legato(midis, hand)
    moments = moments_of(notes, hand, REACH)
    steps = steps_of(moments, REACH)
    every = (tuple((finger,) for finger in line) for line in product((1, 2, 3, 4, 5), repeat=len(midis)))
    assert cost_of(moments, steps, best_grips(moments, steps)) == min(cost_of(moments, steps, line) for line in every)


def test_no_fingering_of_a_scale_of_an_octave_costs_less() -> None:
    notes = legato((62, 63, 65, 67, 68, 70, 72, 74))
    moments = moments_of(notes, Hand.RIGHT, REACH)
    assert moments[7].mate == 0
    steps = steps_of(moments, REACH)
    every = (tuple((finger,) for finger in line) for line in product((1, 2, 3, 4, 5), repeat=6))
    ends = list(product((1, 2, 3, 4, 5), repeat=2))
    least = min(cost_of(moments, steps, (*line, (a,), (b,))) for line in every for a, b in ends)
    assert cost_of(moments, steps, best_grips(moments, steps)) == least


def test_no_fingering_of_chords_and_held_notes_costs_less() -> None:
    notes = (
        Note(0, 4 * EIGHTH, pitch(60)),
        Note(EIGHTH, EIGHTH, pitch(67)),
        Note(2 * EIGHTH, EIGHTH, pitch(64)),
        Note(2 * EIGHTH, EIGHTH, pitch(69)),
        Note(3 * EIGHTH, EIGHTH, pitch(67)),
        Note(4 * EIGHTH, EIGHTH, pitch(59)),
        Note(4 * EIGHTH, EIGHTH, pitch(62)),
        Note(4 * EIGHTH, EIGHTH, pitch(67)),
    )
    moments = moments_of(notes, Hand.RIGHT, REACH)
    assert [len(moment.held) for moment in moments] == [0, 1, 1, 1, 0]
    steps = steps_of(moments, REACH)
    least = min(cost_of(moments, steps, grips) for grips in product(*(moment.grips for moment in moments)))
    assert cost_of(moments, steps, best_grips(moments, steps)) == least


def seven_moments(chance: random.Random) -> tuple[Note, ...]:
    """Seven moments for one hand, one of them two notes together."""
    together = chance.randrange(7)
    midis = [chance.randint(58, 75) for _ in range(7)]
    notes = [Note(place * EIGHTH, EIGHTH, pitch(midi)) for place, midi in enumerate(midis)]
    return (*notes[:together], Note(together * EIGHTH, EIGHTH, pitch(midis[together] - 4)), *notes[together:])


@pytest.mark.parametrize("seed", range(3))
def test_no_fingering_of_seven_moments_with_a_chord_costs_less(seed: int) -> None:
    moments = moments_of(seven_moments(random.Random(seed)), Hand.RIGHT, REACH)
    steps = steps_of(moments, REACH)
    best = cost_of(moments, steps, best_grips(moments, steps))
    assert best == min(cost_of(moments, steps, grips) for grips in product(*(moment.grips for moment in moments)))


@pytest.mark.parametrize("notes", [250, 500])
def test_the_work_grows_no_faster_than_the_line(notes: int) -> None:
    def states(count: int) -> int:
        chance = random.Random(5)
        line = legato([60 + chance.randint(0, 19) for _ in range(count)])
        moments = moments_of(line, Hand.RIGHT, REACH)
        return sum(len(layer) for layer in layers_of(moments, steps_of(moments, REACH)))

    assert states(2 * notes) <= 2.2 * states(notes)


@given(st.one_of(melodies, runs))
@settings(max_examples=40, deadline=None)
def test_the_left_hand_is_the_right_hand_in_a_mirror(midis: list[int]) -> None:
    right = legato(midis)
    left = tuple(
        Note(
            note.onset,
            note.duration,
            Pitch.parse(f"{MIRRORED[note.pitch.name.plain]}{(124 - note.pitch.midi) // 12 - 1}"),
            Hand.LEFT,
        )
        for note in right
    )
    assert [note.pitch.midi for note in left] == [124 - midi for midi in midis]
    assert fingers(right) == fingers(left, Hand.LEFT)


@given(st.one_of(melodies, runs), hands, st.sampled_from((-24, -12, 12, 24)))
@settings(max_examples=40, deadline=None)
def test_an_octave_higher_or_lower_changes_no_finger(midis: list[int], hand: Hand, shift: int) -> None:
    assert fingers(legato(midis, hand), hand) == fingers(legato([midi + shift for midi in midis], hand), hand)


@given(st.one_of(melodies, runs), hands, st.integers(0, 23), lengths)
@settings(max_examples=60, deadline=None)
def test_adding_a_rest_never_adds_cost(midis: list[int], hand: Hand, place: int, rest: int) -> None:
    notes = legato(midis, hand)
    parted = tuple(
        Note(note.onset + (rest if index >= place else 0), note.duration, note.pitch, hand)
        for index, note in enumerate(notes)
    )
    assert least_cost(parted, hand) <= least_cost(notes, hand)


@given(
    st.lists(st.tuples(st.integers(0, 7), st.integers(1, 4), midi_numbers), min_size=1, max_size=10),
    st.integers(1, 7),
    lengths,
)
@settings(max_examples=40, deadline=None)
def test_adding_a_rest_to_chords_and_held_notes_never_adds_cost(
    played: list[tuple[int, int, int]], place: int, rest: int
) -> None:
    def notes(shift: int) -> tuple[Note, ...]:
        moved = [
            Note(onset * EIGHTH + (shift if onset >= place else 0), length * EIGHTH, pitch(midi))
            for onset, length, midi in sorted(set(played))
        ]
        return tuple(sorted(moved, key=lambda note: note.order))

    apart, together = moments_of(notes(rest), Hand.RIGHT, REACH), moments_of(notes(0), Hand.RIGHT, REACH)
    if all(len(moment.notes) + len(moment.held) <= 5 for moment in together):
        parted, whole = steps_of(apart, REACH), steps_of(together, REACH)
        assert cost_of(apart, parted, best_grips(apart, parted)) <= cost_of(
            together, whole, best_grips(together, whole)
        )


@given(melodies, st.data())
@settings(max_examples=30, deadline=None)
def test_the_cost_that_is_said_is_the_cost_that_is_searched(midis: list[int], data: st.DataObject) -> None:
    notes = legato(midis)
    other = data.draw(st.lists(st.integers(1, 5), min_size=len(midis), max_size=len(midis)))
    moments = moments_of(notes, Hand.RIGHT, REACH)
    steps = steps_of(moments, REACH)
    least = [grip[0] for grip in best_grips(moments, steps)]
    assert fingering_cost(notes, least, Hand.RIGHT, HandProfile()) <= fingering_cost(
        notes, other, Hand.RIGHT, HandProfile()
    )


def test_a_wider_reach_never_costs_more() -> None:
    notes = legato((60, 72, 64, 76, 62, 74))
    costs = [
        fingering_cost(notes, (1, 5, 1, 5, 1, 5), Hand.RIGHT, HandProfile(right_reach=reach)) for reach in range(7, 18)
    ]
    assert costs == sorted(costs, reverse=True)
    assert costs[0] > costs[-1]

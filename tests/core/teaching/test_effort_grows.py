"""Effort grows where there is more to do: faster, wider, more chord changes are never easier."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from core.song.metre import Bar, Metre, MetreChange, bars_of
from core.song.note import Hand
from core.teaching.effort import Effort, PlayedNote, effort_of

QUARTER = 10_080
BAR = 4 * QUARTER
MOST_BARS = 6

TUNES = st.lists(st.tuples(st.sampled_from([0.5, 1.0, 1.5, 2.0]), st.integers(60, 81)), min_size=4, max_size=24)
CHORDS = st.lists(
    st.tuples(st.integers(43, 55), st.sampled_from([(0, 4, 7), (0, 3, 7), (0, 5, 10), (0,)])), min_size=12, max_size=12
)
CHANGES = st.lists(
    st.tuples(st.integers(43, 55), st.sampled_from([(0, 4, 7), (0, 3, 7), (0, 5, 10), (0,)])),
    min_size=12,
    max_size=12,
    unique_by=lambda chord: chord[0],
)
"""Twelve chords, each another: the same chord struck again is no change."""
FELT = 0.05
"""Points of effort that nobody is shown: a chord between two far ones can make one leap two steps."""
TEMPOS = st.sampled_from([50.0, 80.0, 110.0, 160.0])


def bars(count: int) -> tuple[Bar, ...]:
    return bars_of((MetreChange(0, Metre()),), 0, count * BAR)


def tune(steps: list[tuple[float, int]]) -> list[PlayedNote]:
    notes, now = [], 0
    for length, midi in steps:
        if now < MOST_BARS * BAR:
            notes.append(PlayedNote(now, round(length * QUARTER), midi, Hand.RIGHT))
        now += round(length * QUARTER)
    return notes


def struck(onset: int, duration: int, chord: tuple[int, tuple[int, ...]]) -> list[PlayedNote]:
    return [PlayedNote(onset, duration, chord[0] + above, Hand.LEFT) for above in chord[1]]


def whole_bars(chords: list[tuple[int, tuple[int, ...]]]) -> list[PlayedNote]:
    return [note for bar in range(MOST_BARS) for note in struck(bar * BAR, BAR, chords[2 * bar])]


def half_bars(chords: list[tuple[int, tuple[int, ...]]]) -> list[PlayedNote]:
    return [note for half, chord in enumerate(chords) for note in struck(half * BAR // 2, BAR // 2, chord)]


def effort(notes: list[PlayedNote], tempo: float, count: int = MOST_BARS) -> Effort:
    return effort_of(notes, tempo, bars(count))


@settings(max_examples=40, deadline=None)
@given(TUNES, CHORDS, TEMPOS, st.floats(1.0, 2.0))
def test_faster_is_never_easier(
    steps: list[tuple[float, int]], chords: list[tuple[int, tuple[int, ...]]], tempo: float, times: float
) -> None:
    notes = tune(steps) + whole_bars(chords)
    slow, fast = effort(notes, tempo), effort(notes, tempo * times)
    assert fast.total >= slow.total - 1e-9
    assert fast.causes.speed >= slow.causes.speed - 1e-9


@settings(max_examples=40, deadline=None)
@given(TUNES, CHANGES, TEMPOS)
def test_twice_as_many_chord_changes_are_never_easier(
    steps: list[tuple[float, int]], chords: list[tuple[int, tuple[int, ...]]], tempo: float
) -> None:
    few, many = effort(tune(steps) + whole_bars(chords), tempo), effort(tune(steps) + half_bars(chords), tempo)
    assert many.total >= few.total - FELT
    assert many.causes.speed >= few.causes.speed


@settings(max_examples=40, deadline=None)
@given(TUNES, CHORDS, TEMPOS)
def test_a_bass_an_octave_under_every_chord_is_never_easier(
    steps: list[tuple[float, int]], chords: list[tuple[int, tuple[int, ...]]], tempo: float
) -> None:
    wide = [(root - 12, (0, *(above + 12 for above in shape))) for root, shape in chords]
    assert effort(tune(steps) + whole_bars(wide), tempo).total >= effort(tune(steps) + whole_bars(chords), tempo).total


@settings(max_examples=40, deadline=None)
@given(TUNES, TEMPOS)
def test_spreading_a_tune_over_octaves_never_asks_for_less_reach_or_travel(
    steps: list[tuple[float, int]], tempo: float
) -> None:
    spread = [(length, midi + 12 * (midi > 70)) for length, midi in steps]
    near, far = effort(tune(steps), tempo), effort(tune(spread), tempo)
    assert far.causes.reach >= near.causes.reach - 1e-9
    assert far.causes.travel >= near.causes.travel - 1e-9


@settings(max_examples=40, deadline=None)
@given(TUNES, CHORDS, TEMPOS)
def test_one_hand_is_never_harder_than_both(
    steps: list[tuple[float, int]], chords: list[tuple[int, tuple[int, ...]]], tempo: float
) -> None:
    both = effort(tune(steps) + whole_bars(chords), tempo)
    assert effort(tune(steps), tempo).total <= both.total
    assert effort(whole_bars(chords), tempo).total <= both.total


@settings(max_examples=40, deadline=None)
@given(TUNES, CHORDS, TEMPOS, st.integers(-12, 12))
def test_keys_can_be_compared_because_only_black_keys_tell_them_apart(
    steps: list[tuple[float, int]], chords: list[tuple[int, tuple[int, ...]]], tempo: float, semitones: int
) -> None:
    notes = tune(steps) + whole_bars(chords)
    moved = [PlayedNote(note.onset, note.duration, note.midi + semitones, note.hand) for note in notes]
    here, there = effort(notes, tempo).causes, effort(moved, tempo).causes
    for cause in ("reach", "travel", "rhythm", "coordination", "memory", "speed"):
        assert abs(getattr(here, cause) - getattr(there, cause)) < 1e-9


def test_length_alone_does_not_drive_effort() -> None:
    five_fingers = tune([(1.0, 60 + (0, 2, 4, 5, 7, 5, 4, 2)[beat % 8]) for beat in range(24)])
    once = effort(five_fingers, 100.0)
    longer = [
        PlayedNote(note.onset + turn * MOST_BARS * BAR, note.duration, note.midi, note.hand)
        for turn in range(5)
        for note in five_fingers
    ]
    assert abs(effort(longer, 100.0, 5 * MOST_BARS).total - once.total) < 0.5


@settings(max_examples=30, deadline=None)
@given(TUNES, CHORDS, TEMPOS)
def test_effort_and_causes_lie_between_nothing_and_a_hundred(
    steps: list[tuple[float, int]], chords: list[tuple[int, tuple[int, ...]]], tempo: float
) -> None:
    found = effort(tune(steps) + half_bars(chords), tempo)
    assert 0 <= found.total <= 100
    for cause in ("reach", "travel", "black_keys", "rhythm", "coordination", "memory", "speed"):
        assert 0 <= getattr(found.causes, cause) <= 100


@settings(max_examples=30, deadline=None)
@given(TUNES, CHORDS, TEMPOS)
def test_every_reason_names_the_bar_that_its_moment_lies_in(
    steps: list[tuple[float, int]], chords: list[tuple[int, tuple[int, ...]]], tempo: float
) -> None:
    onsets = {note.onset for note in tune(steps) + half_bars(chords)}
    for reason in effort(tune(steps) + half_bars(chords), tempo).reasons:
        assert reason.text.startswith(f"bar {reason.bar}: ")
        assert reason.tick in onsets
        assert (reason.bar - 1) * BAR <= reason.tick < reason.bar * BAR

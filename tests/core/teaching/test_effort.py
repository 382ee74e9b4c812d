"""Effort has causes, and every cause its moment."""

from __future__ import annotations

import pytest

from core.song.errors import DomainError
from core.song.metre import Bar, Metre, MetreChange, bars_of
from core.song.note import Hand
from core.teaching.effort import PlayedNote, effort_of

QUARTER = 10_080
BAR = 4 * QUARTER


def bars(count: int, metre: Metre | None = None, pickup: int = 0) -> tuple[Bar, ...]:
    metre = metre or Metre()
    return bars_of((MetreChange(0, metre),), pickup, pickup + count * metre.bar_ticks)


def line(hand: Hand, *notes: tuple[float, float, int]) -> list[PlayedNote]:
    return [PlayedNote(round(onset * QUARTER), round(length * QUARTER), midi, hand) for onset, length, midi in notes]


FIVE_FINGERS = line(Hand.RIGHT, *((float(beat), 1.0, 60 + (0, 2, 4, 5, 7, 5, 4, 2)[beat]) for beat in range(8)))


def test_nothing_to_play_is_no_effort() -> None:
    assert effort_of((), 100, bars(4)).total == 0
    assert effort_of(FIVE_FINGERS, 100, ()).total == 0


def test_a_tempo_must_be_more_than_nothing() -> None:
    with pytest.raises(DomainError, match="tempo"):
        effort_of(FIVE_FINGERS, 0, bars(2))


def test_a_five_finger_tune_is_easy_and_asks_no_travel_nor_black_keys() -> None:
    effort = effort_of(FIVE_FINGERS, 80, bars(2))
    assert 0 < effort.total < 15
    assert effort.causes.travel == 0
    assert effort.causes.black_keys == 0
    assert effort.causes.coordination == 0


def test_the_left_hand_changing_chord_under_a_held_note_is_said_with_its_bar() -> None:
    notes = line(Hand.RIGHT, (0, 4, 72), (4, 4, 74)) + line(
        Hand.LEFT, (0, 1.5, 48), (0, 1.5, 52), (1.5, 2.5, 50), (1.5, 2.5, 53), (4, 4, 48), (4, 4, 52)
    )
    effort = effort_of(notes, 100, bars(2))
    [reason] = [reason for reason in effort.reasons if reason.cause == "coordination"]
    assert reason.text == "bar 1: the left hand changes chord off the beat while the right hand holds"
    assert reason.tick == 3 * QUARTER // 2


def test_a_leap_is_named_by_its_interval_and_direction() -> None:
    notes = line(Hand.RIGHT, (0, 1, 60), (1, 1, 62), (4, 1, 72), (5, 1, 74), (6, 1, 60))
    effort = effort_of(notes, 120, bars(2))
    [reason] = [reason for reason in effort.reasons if reason.cause == "travel"]
    assert reason.text == "bar 2: the right hand leaps down a ninth"


def test_a_chord_change_off_the_beat_under_a_leap_is_said_with_its_interval() -> None:
    right = line(Hand.RIGHT, (0, 1, 60), (1, 0.5, 62), (1.5, 0.5, 71), (2, 2, 69))
    left = line(Hand.LEFT, (0, 1.5, 48), (0, 1.5, 52), (1.5, 2.5, 50), (1.5, 2.5, 53))
    effort = effort_of(right + left, 100, bars(2))
    [reason] = [reason for reason in effort.reasons if reason.cause == "coordination"]
    assert reason.text == "bar 1: the left hand changes chord off the beat under a leap of a sixth"


def test_hands_in_parallel_are_easier_than_in_contrary_motion_and_these_than_a_canon() -> None:
    parallel = FIVE_FINGERS + _to_the_left(_moved(FIVE_FINGERS, 0, -12))
    contrary = FIVE_FINGERS + [
        PlayedNote(note.onset, note.duration, 108 - note.midi, Hand.LEFT) for note in FIVE_FINGERS
    ]
    canon = FIVE_FINGERS + _to_the_left(_moved(FIVE_FINGERS, QUARTER // 2, -12)[:-1])
    causes = [effort_of(notes, 80, bars(2)).causes.coordination for notes in (parallel, contrary, canon)]
    assert causes[0] == 0
    assert causes == sorted(causes)
    assert causes[1] < causes[2]


def test_a_voice_held_under_a_moving_one_of_the_same_hand_asks_for_coordination() -> None:
    held = FIVE_FINGERS + line(Hand.RIGHT, (0, 4, 55), (4, 4, 55))
    assert effort_of(held, 80, bars(2)).causes.coordination > effort_of(FIVE_FINGERS, 80, bars(2)).causes.coordination


def test_a_chromatic_tune_is_harder_to_keep_in_mind_than_one_in_a_key() -> None:
    chromatic = line(Hand.RIGHT, *((float(beat), 1.0, 60 + beat) for beat in range(8)))
    in_a_key = line(Hand.RIGHT, *((float(beat), 1.0, 60 + (0, 2, 4, 5, 7, 9, 11, 12)[beat]) for beat in range(8)))
    assert effort_of(chromatic, 80, bars(2)).causes.memory > effort_of(in_a_key, 80, bars(2)).causes.memory


def test_hard_music_is_still_told_apart() -> None:
    def tremolo(apart: float, *keys: int) -> float:
        strokes = range(round(8 / apart))
        return effort_of(
            line(Hand.RIGHT, *((place * apart, apart, key + 12 * (place % 2)) for place in strokes for key in keys)),
            160,
            bars(2),
        ).total

    efforts = [tremolo(0.25, 60, 66), tremolo(0.125, 60, 66), tremolo(0.125, 60, 66, 73)]
    assert efforts == sorted(set(efforts))
    assert efforts[-1] < 100


def test_the_effort_of_a_long_passage_is_that_of_a_window_of_it() -> None:
    effort = effort_of([note for turn in range(6) for note in _moved(FIVE_FINGERS, turn * BAR, turn)], 80, bars(7))
    assert effort.total in effort.windows


def test_a_passage_over_four_bars_takes_the_ninetieth_percentile_of_its_windows() -> None:
    easy = [note for bar in range(0, 40, 2) for note in _moved(FIVE_FINGERS, bar * BAR)]
    one_hard_bar = line(Hand.RIGHT, *((160 + place / 4, 0.25, 60 + 7 * (place % 3)) for place in range(16)))
    alone = effort_of(easy, 80, bars(40)).total
    assert effort_of(easy + one_hard_bar, 80, bars(41)).total == pytest.approx(alone, abs=0.5)


def test_up_to_four_bars_the_hardest_window_counts() -> None:
    hard = line(Hand.RIGHT, *((8 + place / 4, 0.25, 60 + 7 * (place % 3)) for place in range(16)))
    effort = effort_of(FIVE_FINGERS + hard, 80, bars(4))
    assert effort.total == max(effort.windows)
    assert len(effort.windows) == 3


def test_a_pick_up_shares_the_first_window() -> None:
    notes = line(Hand.RIGHT, (0, 1, 67)) + _moved(FIVE_FINGERS, QUARTER)
    assert len(effort_of(notes, 100, bars(2, pickup=QUARTER)).windows) == 1


def _moved(notes: list[PlayedNote], ticks: int, semitones: int = 0) -> list[PlayedNote]:
    return [PlayedNote(note.onset + ticks, note.duration, note.midi + semitones, note.hand) for note in notes]


def _to_the_left(notes: list[PlayedNote]) -> list[PlayedNote]:
    return [PlayedNote(note.onset, note.duration, note.midi, Hand.LEFT) for note in notes]

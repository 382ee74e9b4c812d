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

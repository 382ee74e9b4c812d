"""Playing along: judged as it comes, and waited for."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from app.engine.protocol import ChooseInput, Expect, KeyJudged, Loop, Play, SentNote
from core.song.note import Hand
from tests.app.engine.fakes import Bench, heard_through, two_notes

NOTES = (SentNote(0.5, 60, Hand.RIGHT), SentNote(1.0, 62, Hand.RIGHT))


@pytest.fixture
def bench(make_bench: Callable[..., Bench]) -> Bench:
    made = make_bench()
    made.do(heard_through("Synth"), ChooseInput("Keyboard"), two_notes(length=2.0))
    return made


def press(bench: Bench, midi: int) -> None:
    assert bench.midi.heard is not None
    bench.midi.heard((0x90, midi, 70))
    bench.engine.tick()


def verdicts(bench: Bench) -> list[tuple[str, int]]:
    return [(report.verdict, report.midi) for report in bench.reports if isinstance(report, KeyJudged)]


def test_keys_are_judged_as_they_come(bench: Bench) -> None:
    bench.do(Expect(NOTES), Play())
    bench.run(0.52)
    press(bench, 60)
    press(bench, 61)
    bench.run(0.68)
    press(bench, 62)
    assert verdicts(bench) == [("right", 60), ("wrong", 61), ("late", 62)]
    assert [report.seconds for report in bench.reports if isinstance(report, KeyJudged)] == [0.5, None, 1.0]


def test_notes_that_are_not_played_are_missed(bench: Bench) -> None:
    bench.do(Expect(NOTES), Play())
    bench.run(1.8)
    assert verdicts(bench) == [("missed", 60), ("missed", 62)]


def test_the_music_holds_at_each_note_until_it_is_played(bench: Bench) -> None:
    bench.do(Expect(NOTES, wait=True), Play())
    bench.run(1.5)
    assert bench.positions[-1].seconds == pytest.approx(0.5)
    assert bench.positions[-1].playing
    press(bench, 61)
    bench.run(0.3)
    assert bench.positions[-1].seconds == pytest.approx(0.5)
    press(bench, 60)
    bench.run(1.5)
    assert bench.positions[-1].seconds == pytest.approx(1.0)
    press(bench, 62)
    bench.run(1.2)
    assert bench.ended == [7]
    assert verdicts(bench) == [("wrong", 61), ("right", 60), ("right", 62)]


def test_each_round_of_a_loop_is_waited_for_anew(bench: Bench) -> None:
    bench.do(Loop(0.0, 1.5), Expect(NOTES, wait=True), Play())
    for _ in range(2):
        for midi in (60, 62):
            bench.run(1.1)
            press(bench, midi)
    assert verdicts(bench) == [("right", 60), ("right", 62)] * 2


def test_another_schedule_is_expected_nothing_of(bench: Bench) -> None:
    bench.do(Expect(NOTES, wait=True), two_notes(8), Play())
    bench.run(1.1)
    assert bench.ended == [8]
    assert verdicts(bench) == []


def test_the_last_note_is_missed_where_the_music_ends_soon_after_it(bench: Bench) -> None:
    bench.do(Expect((*NOTES, SentNote(1.9, 64, Hand.RIGHT))), Play())
    bench.run(3.0)
    assert verdicts(bench) == [("missed", 60), ("missed", 62), ("missed", 64)]


def test_the_last_note_of_a_round_is_missed_before_the_loop_begins_again(bench: Bench) -> None:
    bench.do(Expect(NOTES), Loop(0.0, 1.2), Play())
    bench.run(1.1)
    assert verdicts(bench) == [("missed", 60)]
    bench.run(0.2)
    assert verdicts(bench) == [("missed", 60), ("missed", 62)]


def test_a_key_shortly_before_a_loop_begins_again_is_its_first_note(bench: Bench) -> None:
    bench.do(Expect((SentNote(0.0, 60, Hand.RIGHT), SentNote(1.0, 62, Hand.RIGHT))), Loop(0.0, 1.5), Play())
    press(bench, 60)
    bench.run(1.0)
    press(bench, 62)
    bench.run(0.45)
    press(bench, 60)
    assert verdicts(bench) == [("right", 60), ("right", 62)]
    bench.run(0.2)
    assert verdicts(bench) == [("right", 60), ("right", 62), ("right", 60)]
    bench.run(0.6)
    assert ("missed", 60) not in verdicts(bench)


def test_a_key_before_a_loop_begins_again_that_is_not_meant_there_is_wrong_at_once(bench: Bench) -> None:
    bench.do(Expect((SentNote(0.0, 60, Hand.RIGHT),)), Loop(0.0, 1.5), Play())
    press(bench, 60)
    bench.run(1.45)
    press(bench, 61)
    assert verdicts(bench) == [("right", 60), ("wrong", 61)]


def test_a_waiting_loop_takes_a_key_that_comes_shortly_before_it_begins_again(bench: Bench) -> None:
    bench.do(Expect((SentNote(0.0, 60, Hand.RIGHT), SentNote(0.5, 62, Hand.RIGHT)), wait=True), Loop(0.0, 1.0), Play())
    press(bench, 60)
    bench.run(0.6)
    press(bench, 62)
    bench.run(0.45)
    press(bench, 60)
    bench.run(0.4)
    assert verdicts(bench) == [("right", 60), ("right", 62), ("right", 60)]
    bench.run(1.0)
    assert bench.positions[-1].seconds == pytest.approx(0.5)


def test_the_note_that_the_music_goes_to_and_will_wait_for_may_be_played_on_the_way(bench: Bench) -> None:
    bench.do(Expect((SentNote(0.0, 60, Hand.RIGHT), SentNote(1.0, 62, Hand.RIGHT)), wait=True), Play())
    press(bench, 60)
    bench.run(0.2)
    press(bench, 62)
    assert verdicts(bench) == [("right", 60), ("early", 62)]
    late = [report.late for report in bench.reports if isinstance(report, KeyJudged)][-1]
    assert late == pytest.approx(-0.8, abs=0.05)
    bench.run(1.2)
    assert bench.positions[-1].seconds > 1.1


def test_a_note_further_on_is_wrong_while_another_is_waited_for(bench: Bench) -> None:
    notes = (SentNote(0.0, 60, Hand.RIGHT), SentNote(0.5, 62, Hand.RIGHT), SentNote(1.5, 64, Hand.RIGHT))
    bench.do(Expect(notes, wait=True), Play())
    press(bench, 64)
    assert verdicts(bench) == [("wrong", 64)]

"""A machine that sleeps while something plays: the clock jumps, nothing is left sounding, the window is told."""

from __future__ import annotations

import pytest

from app.engine.engine import SLEPT
from app.engine.midi_system import ALL_NOTES_OFF
from app.engine.protocol import Command, Expect, Loop, Play, Seek, SentNote, Speed
from core.song.note import Hand
from tests.app.engine.fakes import Bench, heard_through, two_notes

NIGHT = 8 * 3600.0


@pytest.fixture
def port_bench(bench: Bench) -> Bench:
    """An engine in the middle of a note that is heard through the port Synth."""
    bench.do(heard_through("Synth"), two_notes(length=4.0), Play())
    bench.run(0.5)
    return bench


def test_the_note_is_let_go_at_once_and_the_window_is_told(port_bench: Bench) -> None:
    port_bench.clock.now += NIGHT
    port_bench.engine.tick()
    sent = [message for when, message in port_bench.port().sent if when > NIGHT]
    assert sent[0] == (0x80, 60, 64)
    assert (0xB0, ALL_NOTES_OFF, 0) in sent
    assert not [message for message in sent if message[0] == 0x90]
    assert port_bench.troubles == [SLEPT]
    assert port_bench.ended == [7]
    assert not port_bench.positions[-1].playing
    assert port_bench.positions[-1].seconds == pytest.approx(0.5, abs=0.01)


@pytest.mark.parametrize("command", [Speed(0.5), Loop(0.0, 2.0), Expect((SentNote(3.0, 62, Hand.RIGHT),))])
def test_it_is_noticed_too_where_a_command_comes_before_the_clock_is_looked_at(
    port_bench: Bench, command: Command
) -> None:
    port_bench.clock.now += NIGHT
    port_bench.do(command)
    assert port_bench.port().messages[-3] == (0x80, 60, 64)
    assert (port_bench.troubles, port_bench.ended) == ([SLEPT], [7])


def test_playing_goes_on_from_there_when_it_is_asked_for(port_bench: Bench) -> None:
    port_bench.clock.now += NIGHT
    port_bench.engine.tick()
    port_bench.do(Play())
    port_bench.run(1.6)
    sent = [(round(when - NIGHT, 2), message) for when, message in port_bench.port().sent if when > NIGHT + 0.6]
    assert sent == [(2.0, (0x90, 62, 70))]
    port_bench.do(Seek(0.0))
    port_bench.run(4.1)
    assert port_bench.ended == [7, 7]
    down: set[int] = set()
    for status, key, _ in port_bench.port().messages:
        if status == 0x90:
            assert key not in down
            down.add(key)
        elif status == 0x80:
            down.discard(key)
    assert not down


def test_the_built_in_piano_goes_on_where_the_sound_card_did_since_its_frames_are_the_clock(bench: Bench) -> None:
    bench.do(two_notes(length=4.0), Play())
    bench.run(0.5)
    bench.clock.now += NIGHT
    bench.run(1.0)
    assert not bench.troubles
    assert bench.positions[-1].playing
    assert bench.positions[-1].seconds == pytest.approx(1.5 - bench.card.queued_seconds, abs=0.05)
    bench.run(3.5)
    assert bench.ended == [7]

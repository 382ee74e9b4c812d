"""The engine among a fake clock, fake ports and a fake sound card."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from app.engine.midi_system import ALL_NOTES_OFF, SUSTAIN
from app.engine.protocol import (
    ChooseInput,
    Exchange,
    KeyPlayed,
    Load,
    Loop,
    Play,
    PressKey,
    Quit,
    Ready,
    Seek,
    SentEvent,
    Silence,
    Speed,
    Stop,
    received_schedule,
)
from core.performance.schedule import Schedule, TimedEvent
from core.sound.piano import Piano, render_blocks, render_schedule
from core.sound.piano_model import RATE
from core.sound.wav import whole_samples
from tests.app.engine.fakes import Bench, heard_through, two_notes, wait_until
from tests.core.sound.banks import sine_bank
from tests.helpers.listening import onset_frames

QUIET = [(0xB0, SUSTAIN, 0), (0xB0, ALL_NOTES_OFF, 0)]


@pytest.fixture
def port_bench(bench: Bench) -> Bench:
    """An engine that is heard through the port Synth."""
    bench.do(heard_through("Synth"))
    return bench


def test_it_says_at_the_start_what_there_is(bench: Bench) -> None:
    assert bench.reports == [Ready(("Keyboard", "Synth"), ("Keyboard",), True, "")]


def test_it_says_at_the_start_what_is_missing_and_plays_on_unheard(make_bench: Callable[..., Bench]) -> None:
    bench = make_bench(card=False, midi_missing="No MIDI here.")
    ready = bench.reports[0]
    assert isinstance(ready, Ready)
    assert not ready.sound
    assert ready.message == "No sound card answers. No MIDI here."
    bench.do(two_notes(), Play())
    bench.run(1.2)
    assert bench.ended == [7]


def test_a_port_gets_every_event_at_its_time(port_bench: Bench) -> None:
    port_bench.do(two_notes(), Play())
    port_bench.run(1.2)
    port = port_bench.port()
    notes = [(when, message) for when, message in port.sent if message[0] & 0xF0 != 0xB0]
    assert notes == [
        (0.0, (0x90, 60, 80)),
        (0.5, (0x80, 60, 64)),
        (0.5, (0x90, 62, 70)),
        (1.0, (0x80, 62, 64)),
    ]
    assert port_bench.ended == [7]
    assert port_bench.positions[-1].playing is False


def test_the_next_call_is_asked_for_exactly_when_something_is_due(port_bench: Bench) -> None:
    port_bench.do(two_notes(), Play())
    port_bench.clock.now += 0.49
    assert port_bench.engine.tick() == pytest.approx(0.01)


def test_stopping_lets_every_key_go_and_then_says_so_to_the_whole_channel(port_bench: Bench) -> None:
    port_bench.do(two_notes(), Play())
    port_bench.run(0.2)
    before = len(port_bench.port().messages)
    port_bench.do(Stop())
    assert port_bench.port().messages[before:] == [(0x80, 60, 64), *QUIET]
    port_bench.run(1)
    assert len(port_bench.port().messages) == before + 3
    assert port_bench.positions[-1].playing is False


def test_positions_come_about_thirty_times_a_second_with_their_generation(port_bench: Bench) -> None:
    port_bench.do(two_notes(generation=9, length=4.0), Play())
    port_bench.run(2.0)
    playing = [position for position in port_bench.positions if position.playing]
    assert 50 <= len(playing) <= 70
    assert {position.generation for position in playing} == {9}
    seconds = [position.seconds for position in playing]
    assert seconds == sorted(seconds)
    assert seconds[-1] == pytest.approx(2.0, abs=0.05)


def test_seeking_lets_go_and_goes_on_there(port_bench: Bench) -> None:
    port_bench.do(two_notes(), Play())
    port_bench.run(0.1)
    port_bench.do(Seek(0.5))
    assert port_bench.port().messages[-2:] == [(0x80, 60, 64), (0x90, 62, 70)]
    assert port_bench.positions[-1].seconds == pytest.approx(0.5)


def test_a_loop_begins_again_and_none_is_left_when_it_is_taken_away(port_bench: Bench) -> None:
    port_bench.do(two_notes(), Loop(0.0, 0.4), Play())
    port_bench.run(1.0)
    strikes = [when for when, message in port_bench.port().sent if message[0] == 0x90]
    assert strikes == [0.0, 0.4, 0.8]
    port_bench.do(Loop())
    port_bench.run(1.0)
    assert port_bench.ended == [7]


def test_a_loop_that_cannot_be_is_refused_in_a_sentence(port_bench: Bench) -> None:
    port_bench.do(two_notes(), Loop(3.0, 2.0))
    assert len(port_bench.troubles) == 1
    assert "loop" in port_bench.troubles[0]


def test_half_speed_takes_twice_as_long(port_bench: Bench) -> None:
    port_bench.do(two_notes(), Speed(0.5), Play())
    port_bench.run(1.2)
    assert [when for when, message in port_bench.port().sent if message[0] == 0x90] == [0.0, 1.0]


def test_a_new_schedule_stops_the_old_one(port_bench: Bench) -> None:
    port_bench.do(two_notes(), Play())
    port_bench.run(0.1)
    port_bench.do(two_notes(generation=8))
    assert (0x80, 60, 64) in port_bench.port().messages
    assert port_bench.positions[-1].generation == 8
    assert port_bench.positions[-1].playing is False


def test_a_changed_schedule_goes_on_without_a_break(port_bench: Bench) -> None:
    port_bench.do(two_notes(), Play())
    port_bench.run(0.2)
    events = (SentEvent(0.0, "on", 60, 80), SentEvent(0.6, "off", 60, 0), SentEvent(0.6, "on", 64, 70))
    port_bench.do(Exchange(8, events, 1.0, 0.2))
    port_bench.run(0.5)
    notes = [(when, message) for when, message in port_bench.port().sent if message[0] & 0xF0 != 0xB0]
    assert notes == [(0.0, (0x90, 60, 80)), (0.6, (0x80, 60, 64)), (0.6, (0x90, 64, 70))]


def test_clicks_are_sent_to_the_percussion_channel_and_let_go_at_once(port_bench: Bench) -> None:
    port_bench.do(Load(1, (SentEvent(0.1, "click", 76, 90, 9),), 0.5), Play())
    port_bench.run(0.2)
    assert [message for message in port_bench.port().messages if message[1] == 76] == [(0x99, 76, 90), (0x89, 76, 64)]


def test_a_port_that_goes_away_in_mid_play_is_reported_once_and_time_goes_on(port_bench: Bench) -> None:
    port_bench.do(two_notes(), Play())
    port_bench.run(0.1)
    port_bench.port().broken = True
    port_bench.run(1.2)
    assert port_bench.troubles == ["The port has gone. Playing goes on unheard."]
    assert port_bench.ended == [7]
    assert port_bench.port().closed


def test_a_port_that_is_not_there_leaves_things_as_they_are(port_bench: Bench) -> None:
    port_bench.do(heard_through("Nobody"), two_notes(), Play())
    assert port_bench.troubles == ["The MIDI output “Nobody” is not there; there are: Keyboard, Synth."]
    assert (0x90, 60, 80) in port_bench.port().messages


def test_changing_the_output_lets_go_in_the_old_place_and_goes_on_in_the_new(port_bench: Bench) -> None:
    port_bench.do(two_notes(), Play())
    port_bench.run(0.2)
    port_bench.do(heard_through("Keyboard"))
    assert port_bench.port("Synth").messages[-3:] == [(0x80, 60, 64), *QUIET]
    assert port_bench.port("Synth").closed
    port_bench.run(0.4)
    assert (0x90, 62, 70) in port_bench.port("Keyboard").messages


def test_a_single_key_is_pressed_and_let_go_and_silenced_if_forgotten(port_bench: Bench) -> None:
    port_bench.do(PressKey(65, 64, True), PressKey(65, 0, False), PressKey(67, 64, True), Silence())
    assert port_bench.port().messages == [(0x90, 65, 64), (0x80, 65, 64), (0x90, 67, 64), (0x80, 67, 64), *QUIET]


def test_ports_of_an_engine_that_died_are_silenced_on_every_channel(bench: Bench) -> None:
    bench.do(Silence(("Synth", "Gone")))
    assert len(bench.port().messages) == 32
    assert (0xBF, ALL_NOTES_OFF, 0) in bench.port().messages
    assert bench.port().closed
    assert not bench.troubles


def test_played_keys_are_passed_on_with_their_time(bench: Bench) -> None:
    bench.do(ChooseInput("Keyboard"))
    assert bench.midi.heard is not None
    bench.clock.now = 1003.25
    bench.midi.heard((0x90, 60, 88))
    bench.midi.heard((0x90, 60, 0))
    bench.midi.heard((0x82, 61, 40))
    bench.midi.heard((0xFE,))
    bench.midi.heard((0xB0, 64, 127))
    assert bench.reports[1:] == [
        KeyPlayed(60, 88, True, 1003.25),
        KeyPlayed(60, 0, False, 1003.25),
        KeyPlayed(61, 0, False, 1003.25),
    ]


def test_ending_silences_everything_and_lets_the_devices_go(port_bench: Bench) -> None:
    port_bench.do(ChooseInput("Keyboard"), two_notes(), Play())
    port_bench.run(0.1)
    port_bench.do(Quit())
    port_bench.engine.close()
    down: set[int] = set()
    for status, midi, _ in port_bench.port().messages:
        if status == 0x90:
            down.add(midi)
        elif status == 0x80:
            down.discard(midi)
    assert not down
    assert port_bench.port().closed
    assert port_bench.card.closed == 1


def test_the_piano_is_heard_with_every_note_at_its_frame(bench: Bench) -> None:
    silence = bench.run(0.1)
    bench.do(two_notes(length=2.0), Play())
    sound = np.concatenate((silence, bench.run(2.2)))
    found = onset_frames(sound, RATE, quiet=0.002)
    assert len(found) == 2
    assert abs(found[0] - len(silence)) / RATE < 0.001
    assert found[1] - found[0] == pytest.approx(RATE, abs=RATE / 1000)
    assert bench.ended == [7]


def test_what_is_written_to_a_file_is_what_is_heard_to_the_sample(bench: Bench) -> None:
    bench.do(two_notes(), Play())
    heard = bench.run(1.5)
    first = int(np.flatnonzero(np.abs(heard).max(axis=1))[0])
    written = np.concatenate(list(render_blocks(received_schedule(two_notes()), Piano(bench.bank))))
    begin = int(np.flatnonzero(np.abs(written).max(axis=1))[0])
    length = min(len(heard) - first, len(written) - begin)
    assert length > RATE
    assert np.array_equal(whole_samples(heard[first : first + length]), whole_samples(written[begin : begin + length]))


def test_the_reported_position_is_that_of_what_is_heard_and_never_runs_back(bench: Bench) -> None:
    bench.do(two_notes(length=2.0), Seek(0.5), Play())
    bench.run(1.0)
    seconds = [position.seconds for position in bench.positions if position.playing]
    assert seconds[0] == pytest.approx(0.5)
    assert seconds == sorted(seconds)
    assert seconds[-1] == pytest.approx(1.5 - bench.card.queued_seconds, abs=0.04)


def test_stopping_the_piano_fades_it_out(bench: Bench) -> None:
    bench.do(two_notes(), Play())
    bench.run(0.2)
    bench.do(Stop())
    sound = bench.run(0.4)
    assert np.abs(sound[:100]).max() > 0.001
    assert not sound[RATE // 4 :].any()


def test_playing_waits_for_the_first_keys_to_be_made(make_bench: Callable[..., Bench]) -> None:
    bench = make_bench(bank=sine_bank(0.2))
    bench.do(two_notes(), Play())
    wait_until(lambda: any(position.playing for position in bench.positions))
    assert bench.bank.ready(60) is not None
    sound = bench.run(0.3)
    assert sound.any()


def test_stopping_while_the_keys_are_made_calls_the_playing_off(make_bench: Callable[..., Bench]) -> None:
    bench = make_bench(bank=sine_bank(0.2))
    bench.do(two_notes(), Play(), Stop())
    wait_until(lambda: bench.bank.ready(60) is not None and bench.bank.ready(62) is not None)
    bench.run(0.2)
    assert not bench.positions[-1].playing


def test_a_key_that_is_pressed_before_it_is_made_sounds_when_it_is(make_bench: Callable[..., Bench]) -> None:
    bench = make_bench(bank=sine_bank(0.5))
    bench.do(PressKey(61, 90, True))
    wait_until(lambda: bool(bench.run(0.02).any()))


def test_a_sound_card_that_goes_away_is_reported_and_taken_up_again(bench: Bench) -> None:
    bench.do(two_notes(length=12.0), Play())
    bench.run(0.2)
    bench.card.answers = False
    bench.card.there = False
    bench.run(1.0)
    assert len(bench.troubles) == 1
    assert "sound card" in bench.troubles[0]
    assert bench.positions[-1].playing
    assert bench.positions[-1].seconds == pytest.approx(1.2, abs=0.1)
    bench.run(5.0)
    assert bench.card.opened == 1
    bench.card.there = True
    bench.run(5.0)
    assert bench.card.opened == 2
    assert bench.positions[-1].playing
    wait_until(lambda: bench.card.closed == 1)


def test_a_fault_while_playing_is_reported_and_the_card_is_still_served(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.do(two_notes(), Play())
    monkeypatch.setattr(bench.engine._piano, "play", lambda due: 1 / (0 if due else 1))
    bench.run(0.1)
    assert len(bench.troubles) == 1
    assert bench.troubles[0].startswith("Playing stopped because of a fault in the program")
    assert not bench.positions[-1].playing


def test_the_pedal_goes_down_and_comes_up_on_a_port_and_is_lifted_by_stopping(port_bench: Bench) -> None:
    pressed = SentEvent(0.1, "pedal", SUSTAIN, 127)
    port_bench.do(Load(1, (pressed, SentEvent(0.3, "pedal", SUSTAIN, 0), SentEvent(0.5, "pedal", SUSTAIN, 127)), 2.0))
    port_bench.do(Play())
    port_bench.run(0.4)
    assert port_bench.port().messages[-2:] == [(0xB0, SUSTAIN, 127), (0xB0, SUSTAIN, 0)]
    port_bench.run(0.2)
    assert port_bench.port().messages[-1] == (0xB0, SUSTAIN, 127)
    port_bench.do(Stop())
    assert port_bench.port().messages[-3:] == [(0xB0, SUSTAIN, 0), *QUIET]


def test_a_note_sounds_on_under_the_pedal_of_the_built_in_piano() -> None:
    bank = sine_bank(2.0)
    bank.prepare_all((60,))
    struck = (TimedEvent(0.0, "on", 60, 80), TimedEvent(0.5, "off", 60, 0))
    down = (TimedEvent(0.2, "pedal", SUSTAIN, 127), TimedEvent(1.4, "pedal", SUSTAIN, 0))
    events = tuple(sorted((*struck, *down), key=lambda event: event.seconds))
    loud = [
        np.abs(render_schedule(Schedule(of, 1.5), Piano(bank))[RATE : RATE + 4410]).max() for of in (events, struck)
    ]
    assert loud[0] > 20 * loud[1]

"""Several outputs at once: channels, programs, latencies, and each going and coming by itself."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.engine.protocol import (
    ChooseOutputs,
    Command,
    Exchange,
    Load,
    Loop,
    Play,
    PressKey,
    Seek,
    SentEvent,
    Speed,
    Stop,
)
from core.performance.output import HandChannel, Output
from core.song.note import Hand
from core.sound.piano_model import RATE
from tests.app.engine.fakes import Bench, FakePort, heard_through, two_notes

PIANO_AND_SYNTH = ChooseOutputs((Output("piano"), Output("Synth")))
KEYS = (60, 62, 64)


def both_hands(length: float = 1.0) -> Load:
    """A C of the right hand over an E below of the left, with the pedal and a click."""
    return Load(
        3,
        (
            SentEvent(0.0, "click", 76, 90, 9),
            SentEvent(0.0, "on", 60, 80, 0, Hand.RIGHT),
            SentEvent(0.0, "on", 52, 62, 0, Hand.LEFT),
            SentEvent(0.1, "pedal", 64, 127),
            SentEvent(length, "off", 60, 0, 0, Hand.RIGHT),
            SentEvent(length, "off", 52, 0, 0, Hand.LEFT),
            SentEvent(length, "pedal", 64, 0),
        ),
        length,
    )


def unplug(bench: Bench, name: str) -> None:
    bench.midi.output_names = tuple(one for one in bench.midi.output_names if one != name)
    bench.engine.look_for_ports()


def plug_in(bench: Bench, name: str) -> None:
    bench.midi.output_names = (*bench.midi.output_names, name)
    bench.engine.look_for_ports()


def strikes(port: FakePort) -> list[tuple[float, int]]:
    """When which key was struck."""
    return [(when, message[1]) for when, message in port.sent if message[0] & 0xF0 == 0x90 and message[2]]


def onset_seconds(heard: np.ndarray) -> float:
    """When sound begins."""
    return float(np.argmax(np.abs(heard).max(axis=1) > 1e-4)) / RATE


def left_down(port: FakePort) -> set[tuple[int, int]]:
    """(channel, key) of every key that went down and not up again."""
    down: set[tuple[int, int]] = set()
    for message in port.messages:
        key = message[0] & 0x0F, message[1]
        if message[0] & 0xF0 == 0x90 and message[2]:
            assert key not in down, "struck while it is down"
            down.add(key)
        elif message[0] & 0xF0 in (0x80, 0x90):
            down.discard(key)
    return down


def test_the_piano_and_two_ports_are_heard_at_once(bench: Bench) -> None:
    bench.do(ChooseOutputs((Output("piano"), Output("Synth"), Output("Keyboard"))), two_notes(), Play())
    heard = bench.run(1.2)
    assert np.abs(heard).max() > 0.01
    for name in ("Synth", "Keyboard"):
        assert [key for _, key in strikes(bench.port(name))] == [60, 62]
        assert not left_down(bench.port(name))


def test_what_goes_to_a_port_is_sent_when_the_piano_is_heard_and_not_when_its_frames_are_made(bench: Bench) -> None:
    bench.do(PIANO_AND_SYNTH, two_notes(), Play())
    heard = bench.run(1.2)
    made = onset_seconds(heard)
    struck = strikes(bench.port())
    assert struck[0][0] == pytest.approx(made + bench.card.queued_seconds, abs=0.011)
    assert struck[1][0] - struck[0][0] == pytest.approx(0.5, abs=0.006)


def test_a_slow_output_is_sent_its_events_earlier_than_the_others(bench: Bench) -> None:
    bench.do(ChooseOutputs((Output("Keyboard"), Output("Synth", latency=100))), two_notes(), Play())
    bench.run(1.3)
    assert strikes(bench.port("Synth")) == [(0.0, 60), (0.5, 62)]
    assert [when for when, _ in strikes(bench.port("Keyboard"))] == pytest.approx([0.1, 0.6], abs=0.001)
    assert not left_down(bench.port("Keyboard"))


def test_the_piano_waits_for_a_slow_port_to_the_frame(bench: Bench) -> None:
    bench.do(two_notes(), Play())
    alone = onset_seconds(bench.run(0.4))
    bench.do(Stop(), ChooseOutputs((Output("piano"), Output("Synth", latency=150))), Seek(0.0))
    bench.run(0.5)
    bench.do(Play())
    assert onset_seconds(bench.run(0.6)) == pytest.approx(alone + 0.15, abs=1.5 / RATE)


def test_the_position_is_the_one_that_is_heard_through_the_slowest(bench: Bench) -> None:
    bench.do(ChooseOutputs((Output("Synth", latency=200),)), two_notes(length=4.0), Play())
    bench.run(1.0)
    assert bench.positions[-1].seconds == pytest.approx(0.8, abs=0.05)
    assert min(position.seconds for position in bench.positions) >= 0.0


def test_each_hand_has_its_channel_and_its_program_said_as_playing_starts(bench: Bench) -> None:
    organ = Output("Synth", right=HandChannel(3, 20), left=HandChannel(4, 33))
    bench.do(ChooseOutputs((organ,)), both_hands())
    bench.port().sent.clear()
    bench.do(Play())
    assert bench.port().messages[:2] == [(0xC2, 19), (0xC3, 32)]
    bench.run(1.2)
    assert {(0x92, 60, 80), (0x93, 52, 62), (0x82, 60, 64), (0x83, 52, 64)} <= set(bench.port().messages)
    assert {(0xB2, 64, 127), (0xB3, 64, 127), (0xB2, 64, 0), (0xB3, 64, 0)} <= set(bench.port().messages)
    assert (0x99, 76, 90) in bench.port().messages
    assert not left_down(bench.port())


def test_an_instrument_is_left_as_it_is_where_no_program_is_set(bench: Bench) -> None:
    bench.do(ChooseOutputs((Output("Synth"),)), both_hands(), Play())
    bench.run(1.2)
    assert not [message for message in bench.port().messages if message[0] & 0xF0 == 0xC0]


def test_programs_are_said_again_to_a_port_that_comes_back(bench: Bench) -> None:
    bench.do(
        ChooseOutputs((Output("Synth", right=HandChannel(1, 5), left=HandChannel(1, 5)),)), both_hands(4.0), Play()
    )
    unplug(bench, "Synth")
    plug_in(bench, "Synth")
    assert bench.port().messages[0] == (0xC0, 4)


def test_a_key_comes_up_on_the_channel_on_which_it_went_down_whichever_hand_has_it_by_then(bench: Bench) -> None:
    bench.do(ChooseOutputs((Output("Synth", right=HandChannel(1), left=HandChannel(2)),)), both_hands(4.0), Play())
    bench.run(0.2)
    swapped = (SentEvent(0.0, "on", 60, 80, 0, Hand.LEFT), SentEvent(2.0, "off", 60, 0, 0, Hand.LEFT))
    bench.do(Exchange(4, swapped, 4.0, 0.2))
    bench.run(2.5)
    assert not left_down(bench.port())


def test_a_port_that_goes_in_mid_play_leaves_the_others_playing_and_comes_back(bench: Bench) -> None:
    bench.do(ChooseOutputs((Output("Keyboard"), Output("Synth"))), two_notes(length=4.0), Play())
    bench.run(0.5)
    unplug(bench, "Synth")
    assert bench.troubles == ["The MIDI output “Synth” has gone; playing goes on through the others until it is back."]
    assert left_down(bench.port("Keyboard")) == {(0, 60)}, "the others are not interrupted"
    bench.run(1.0)
    plug_in(bench, "Synth")
    assert bench.troubles[-1] == "The MIDI output “Synth” is back."
    bench.run(3.0)
    assert strikes(bench.port("Synth")) == [(2.0, 62)]
    assert strikes(bench.port("Keyboard")) == [(0.0, 60), (2.0, 62)]
    assert bench.ended == [7]


def test_a_port_that_fails_in_mid_play_is_said_once_and_taken_up_again_when_it_works(bench: Bench) -> None:
    bench.do(ChooseOutputs((Output("Keyboard"), Output("Synth"))), two_notes(length=4.0), Play())
    broken = bench.port("Synth")
    broken.broken = True
    bench.run(2.5)
    assert bench.troubles == ["The port has gone. Playing goes on through the others."]
    assert broken.closed
    bench.engine.look_for_ports()
    assert bench.port("Synth") is not broken
    assert bench.troubles[-1] == "The MIDI output “Synth” is back."
    assert [key for _, key in strikes(bench.port("Keyboard"))] == [60, 62]


def test_a_busy_port_is_said_once_and_the_others_are_played_through_until_it_is_free(bench: Bench) -> None:
    bench.midi.busy = {"Synth"}
    bench.do(ChooseOutputs((Output("Keyboard"), Output("Synth"))), two_notes(length=4.0), Play())
    for _ in range(3):
        bench.engine.look_for_ports()
    assert bench.troubles == ["The MIDI output “Synth” is busy."]
    assert strikes(bench.port("Keyboard")) == [(0.0, 60)]
    bench.midi.busy = set()
    bench.engine.look_for_ports()
    assert bench.troubles[-1] == "The MIDI output “Synth” is back."


def test_an_output_that_stays_chosen_is_not_interrupted_by_another_that_is_added(bench: Bench) -> None:
    bench.do(heard_through("Synth"), two_notes(length=4.0), Play())
    bench.run(0.5)
    bench.do(ChooseOutputs((Output("Synth"), Output("Keyboard"))))
    assert left_down(bench.port("Synth")) == {(0, 60)}
    assert len(bench.midi.opened["Synth"]) == 1
    bench.run(4.0)
    assert [key for _, key in strikes(bench.port("Keyboard"))] == [62]


def test_an_output_without_a_sound_card_is_heard_though_the_piano_beside_it_is_not() -> None:
    bench = Bench(card=False)
    bench.do(PIANO_AND_SYNTH, two_notes(), Play())
    bench.run(1.2)
    assert [key for _, key in strikes(bench.port())] == [60, 62]
    assert bench.troubles == ["No sound card answers."]
    bench.engine.close()


def test_a_single_key_is_heard_through_every_output(bench: Bench) -> None:
    bench.do(PIANO_AND_SYNTH, PressKey(60, 80, True))
    assert np.abs(bench.run(0.2)).max() > 0.01
    bench.do(PressKey(60, 0, False))
    assert bench.port().messages == [(0x90, 60, 80), (0x80, 60, 64)]


def events() -> st.SearchStrategy[tuple[SentEvent, ...]]:
    """Notes of either hand on a few keys, none struck while it is down."""

    def laid(notes: list[tuple[int, float, float, Hand]]) -> tuple[SentEvent, ...]:
        free = dict.fromkeys(KEYS, 0.0)
        made: list[SentEvent] = []
        for key, wait, length, hand in notes:
            start = free[key] + wait
            free[key] = start + length
            made += (SentEvent(start, "on", key, 80, 0, hand), SentEvent(start + length, "off", key, 0, 0, hand))
        return tuple(sorted(made, key=lambda event: (event.seconds, event.kind != "off")))

    lengths = st.floats(0.01, 0.5)
    return st.lists(st.tuples(st.sampled_from(KEYS), lengths, lengths, st.sampled_from(Hand)), max_size=8).map(laid)


def outputs() -> st.SearchStrategy[ChooseOutputs]:
    hands = st.builds(HandChannel, st.integers(1, 4))
    latency = st.integers(-200, 200)
    ports = [
        st.none() | st.builds(Output, st.just(name), right=hands, left=hands, latency=latency)
        for name in ("piano", "Keyboard", "Synth")
    ]
    return st.tuples(*ports).map(lambda chosen: ChooseOutputs(tuple(one for one in chosen if one is not None)))


def commands() -> st.SearchStrategy[Command | str]:
    return st.one_of(
        outputs(),
        st.just(Play()),
        st.just(Stop()),
        st.builds(Seek, st.floats(0, 2)),
        st.builds(Speed, st.floats(0.5, 2)),
        st.just(Loop(0.0, 0.4)),
        events().map(lambda made: Exchange(2, made, 3.0, 0.1)),
        st.sampled_from(("unplug", "plug in", "look")),
    )


@settings(max_examples=40, deadline=None)
@given(events(), st.lists(st.tuples(commands(), st.sampled_from((0.0, 0.05, 0.3))), max_size=12))
def test_whatever_is_done_every_key_on_every_output_comes_up_again_and_none_before_it_went_down(
    first: tuple[SentEvent, ...], then: list[tuple[Command | str, float]]
) -> None:
    bench = Bench()
    bench.do(PIANO_AND_SYNTH, Load(1, first, 3.0), Play())
    for command, seconds in then:
        if command == "unplug":
            unplug(bench, "Synth")
        elif command == "plug in":
            if "Synth" not in bench.midi.output_names:
                plug_in(bench, "Synth")
        elif isinstance(command, str):
            bench.engine.look_for_ports()
        else:
            bench.do(command)
        bench.run(seconds, 0.01)
    bench.do(Stop())
    ports = [port for opened in bench.midi.opened.values() for port in opened]
    assert not [left_down(port) for port in ports if left_down(port)]
    sent = [len(port.sent) for port in ports]
    bench.run(0.5, 0.01)
    assert [len(port.sent) for port in ports] == sent, "nothing sounds after stop"
    bench.engine.close()

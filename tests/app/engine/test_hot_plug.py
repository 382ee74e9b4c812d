"""Ports of a real JACK server that come and go while the engine plays through them."""

from __future__ import annotations

import time
from functools import partial

import pytest
import rtmidi

from app.engine.client import EngineClient
from app.engine.protocol import Ports, Position, Ready, Report, Trouble
from core.performance.output import HandChannel, Output
from core.performance.schedule import Schedule, TimedEvent
from core.song.note import Hand
from tests.app.engine.fakes import wait_until
from tests.helpers.midi_patchbay import KEYBOARD, LISTENER, Patchbay

SECOND = "phrasebench-second"
NOTICED_SECONDS = 2.0
TRIES = 3
"""A machine that tests does other things too: a try that was disturbed is tried again."""
BEATS = 400
RUNNING = Schedule(
    tuple(
        event
        for beat in range(BEATS)
        for event in (
            TimedEvent(beat * 0.1, "on", 60 + beat % 5, 80, Hand.RIGHT),
            TimedEvent(beat * 0.1 + 0.08, "off", 60 + beat % 5, 0, Hand.RIGHT),
        )
    ),
    BEATS * 0.1,
)


def second_port() -> rtmidi.MidiIn:
    """An instrument that is plugged in; deleting it pulls its plug."""
    made = rtmidi.MidiIn(rtmidi.API_UNIX_JACK, SECOND)
    made.open_virtual_port("in")
    return made


def heard(port: rtmidi.MidiIn) -> list[tuple[int, ...]]:
    messages = []
    while (message := port.get_message()) is not None:
        messages.append(tuple(message[0]))
    return messages


def goes_on(ports: Patchbay, before: int) -> bool:
    """Whether more is heard than there was before."""
    return len(ports.messages) > before + 4


def test_a_port_that_goes_and_comes_while_it_is_played_through_is_noticed_within_two_seconds(ports: Patchbay) -> None:
    reports: list[Report] = []
    second = second_port()

    def said(words: str) -> bool:
        return any(isinstance(report, Trouble) and words in report.message for report in reports)

    with EngineClient(reports.append) as engine:
        wait_until(lambda: any(isinstance(report, Ready) for report in reports))
        organ = HandChannel(2, 20)
        engine.choose_outputs((Output(LISTENER), Output(SECOND, right=organ, left=organ)))
        engine.load(RUNNING)
        engine.play()
        first_heard: list[tuple[int, ...]] = []

        def arrived() -> bool:
            first_heard.extend(heard(second))
            return any(message[0] == 0x91 for message in first_heard)

        wait_until(arrived)
        assert (0xC1, 19) in first_heard

        tries = []
        for _ in range(TRIES):
            reports.clear()
            gone_at = time.monotonic()
            second.delete()
            wait_until(lambda: said(f"“{SECOND}” has gone; playing goes on through the others"))
            gone = time.monotonic() - gone_at
            before = len(ports.messages)
            wait_until(partial(goes_on, ports, before))

            back_at = time.monotonic()
            second = second_port()
            wait_until(lambda: said(f"“{SECOND}” is back"))
            tries.append((gone, time.monotonic() - back_at))
            if max(tries[-1]) < NOTICED_SECONDS:
                break
        else:
            pytest.fail(f"seconds until it was noticed that the port had gone and was back: {tries}")
        again: list[tuple[int, ...]] = []

        def plays_again() -> bool:
            again.extend(heard(second))
            return sum(message[0] == 0x91 for message in again) > 2

        wait_until(plays_again)
        assert again[0] == (0xC1, 19)
        engine.stop()
        wait_until(lambda: not ports.keys_down)
        assert any(isinstance(report, Ports) for report in reports)
    second.delete()


def test_a_server_that_stands_still_is_said_and_holds_nothing_up(ports: Patchbay) -> None:
    reports: list[Report] = []

    def said(words: str) -> bool:
        return any(isinstance(report, Trouble) and words in report.message for report in reports)

    with EngineClient(reports.append) as engine:
        wait_until(lambda: any(isinstance(report, Ready) for report in reports))
        engine.choose_outputs((Output(LISTENER),))
        engine.choose_input(KEYBOARD)
        engine.load(RUNNING)
        engine.play()
        wait_until(lambda: len(ports.messages) > 4)
        with ports.standing_still():
            wait_until(lambda: said(f"“{LISTENER}” does not answer any more"))
            wait_until(lambda: said(f"“{KEYBOARD}”"))
            reports.clear()
            wait_until(lambda: sum(isinstance(report, Position) for report in reports) > 10)
        wait_until(lambda: said(f"“{LISTENER}” is back"))
        before = len(ports.messages)
        wait_until(partial(goes_on, ports, before))
        engine.stop()
        wait_until(lambda: not ports.keys_down)


def test_a_keyboards_own_names_are_shown_and_the_programs_own_ports_are_not(ports: Patchbay) -> None:
    assert ports.environment
    reports: list[Report] = []
    with EngineClient(reports.append) as engine:
        wait_until(lambda: any(isinstance(report, Ready) for report in reports))
        engine.choose_outputs((Output(LISTENER),))
        engine.choose_input("phrasebench-keyboard")
        second = second_port()
        wait_until(lambda: any(isinstance(report, Ports) for report in reports))
        shown = [report for report in reports if isinstance(report, Ports)][-1]
        second.delete()
    assert shown.outputs == (f"{LISTENER}:in", f"{SECOND}:in")
    assert shown.inputs == ("phrasebench-keyboard:out",)

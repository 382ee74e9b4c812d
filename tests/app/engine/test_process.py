"""The engine as a real process: it talks, it ends, and it leaves no note sounding."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

import pytest

from app.engine.client import EngineClient
from app.engine.player import play_schedule
from app.engine.protocol import Ended, KeyPlayed, Position, Ready, Report, Trouble
from app.resources import HOME
from core.performance.output import Output
from core.performance.schedule import Schedule, TimedEvent
from core.song.errors import DeviceError
from tests.app.engine.fakes import wait_until
from tests.helpers.midi_patchbay import KEYBOARD, LISTENER, Patchbay, patchbay

LONG = Schedule((TimedEvent(0.0, "on", 60, 80), TimedEvent(0.0, "on", 64, 80), TimedEvent(60.0, "off", 60, 0)), 60.0)


@pytest.fixture(scope="module")
def _ports() -> Iterator[Patchbay]:
    with patchbay() as found:
        yield found


@pytest.fixture
def ports(_ports: Patchbay, monkeypatch: pytest.MonkeyPatch) -> Patchbay:
    """Real MIDI ports that this test and the engines it starts can reach."""
    for name, value in _ports.environment.items():
        monkeypatch.setenv(name, value)
    _ports.heard.clear()
    return _ports


def reports_of_kind(reports: list[Report], kind: type) -> list[Report]:
    return [report for report in reports if isinstance(report, kind)]


@pytest.fixture
def null_sound(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PHRASEBENCH_SOUND", "null")


@pytest.mark.usefixtures("null_sound")
def test_it_plays_through_the_sound_card_and_says_when_it_has_ended() -> None:
    reports: list[Report] = []
    schedule = Schedule((TimedEvent(0.0, "on", 60, 80), TimedEvent(0.3, "off", 60, 0)), 0.3)
    with EngineClient(reports.append) as engine:
        engine.load(schedule)
        engine.play()
        wait_until(lambda: bool(reports_of_kind(reports, Ended)))
    ready = reports[0]
    assert isinstance(ready, Ready)
    assert ready.sound
    assert any(isinstance(report, Position) and report.playing for report in reports)


def test_what_it_does_not_understand_is_said_and_it_goes_on() -> None:
    reports: list[Report] = []
    with EngineClient(reports.append) as engine:
        assert engine._process.stdin is not None
        engine._process.stdin.write(b'{"do": "dance"}\nnonsense\n')
        engine._process.stdin.flush()
        wait_until(lambda: len(reports_of_kind(reports, Trouble)) >= 2)
        engine.load(LONG)
        wait_until(lambda: bool(reports_of_kind(reports, Position)))


@pytest.mark.usefixtures("null_sound")
def test_it_ends_with_its_input_within_a_second() -> None:
    reports: list[Report] = []
    engine = EngineClient(reports.append)
    wait_until(lambda: bool(reports))
    engine.load(LONG)
    engine.play()
    wait_until(lambda: any(isinstance(report, Position) and report.playing for report in reports))
    assert engine._process.stdin is not None
    engine._process.stdin.close()
    engine._process.wait(1.5)
    engine.close()


def test_playing_where_there_is_no_sound_card_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("PHRASEBENCH_SOUND", raising=False)
    monkeypatch.setenv("ALSA_CONFIG_PATH", "/dev/null")
    monkeypatch.setenv("PULSE_SERVER", "/dev/null")
    monkeypatch.setenv("JACK_DEFAULT_SERVER", "none-of-this-name")
    if sys.platform != "linux":
        pytest.skip("a sound card can be hidden by the environment on Linux alone")
    with pytest.raises(DeviceError, match="No sound card"):
        play_schedule(LONG)


def test_a_port_hears_the_schedule_in_time(ports: Patchbay) -> None:
    events = [
        event
        for number in range(20)
        for event in (
            TimedEvent(0.4 + number * 0.05, "on", 60 + number, 80),
            TimedEvent(0.44 + number * 0.05, "off", 60 + number, 0),
        )
    ]
    assert play_schedule(Schedule(tuple(events), 1.5), (Output(LISTENER),)) == LISTENER
    wait_until(lambda: len([message for message in ports.messages if message[0] == 0x80]) >= 20)
    strikes = [(when, message[1]) for when, message in ports.heard if message[0] == 0x90]
    assert [midi for _, midi in strikes] == list(range(60, 80))
    starts = sorted(when - (midi - 60) * 0.05 for when, midi in strikes)
    assert starts[15] - starts[0] < 0.05
    assert not ports.keys_down


def test_keys_played_into_a_port_are_reported(ports: Patchbay) -> None:
    reports: list[Report] = []
    with EngineClient(reports.append) as engine:
        engine.choose_input(KEYBOARD)
        engine.load(LONG)
        wait_until(lambda: bool(reports_of_kind(reports, Position)))
        ports.press(0x90, 60, 77)
        ports.press(0x80, 60, 0)
        wait_until(lambda: len(reports_of_kind(reports, KeyPlayed)) == 2)
    down, up = reports_of_kind(reports, KeyPlayed)
    assert isinstance(down, KeyPlayed)
    assert isinstance(up, KeyPlayed)
    assert (down.midi, down.velocity, down.on, up.on) == (60, 77, True, False)
    assert up.time >= down.time


def _has(arrived: list[float], count: int) -> bool:
    return len(arrived) == count


def test_a_key_is_reported_within_twenty_milliseconds_while_something_plays(ports: Patchbay) -> None:
    arrived: list[float] = []

    def note_time(report: Report) -> None:
        if isinstance(report, KeyPlayed) and report.on:
            arrived.append(time.perf_counter() - report.time)

    schedule = Schedule(tuple(TimedEvent(n / 50, "click", 76, 80) for n in range(500)), 10.0)
    with EngineClient(note_time) as engine:
        engine.choose_outputs((Output(LISTENER),))
        engine.choose_input(KEYBOARD)
        engine.load(schedule)
        engine.play()
        wait_until(lambda: bool(ports.heard))
        for number in range(20):
            ports.press(0x90, 60 + number, 77)
            wait_until(partial(_has, arrived, number + 1))
    assert sorted(arrived)[len(arrived) // 2] < 0.02


def test_what_was_played_in_is_kept_when_the_engine_is_killed(ports: Patchbay, tmp_path: Path) -> None:
    reports: list[Report] = []
    with EngineClient(reports.append) as engine:
        engine.record(str(tmp_path))
        engine.choose_input(KEYBOARD)
        engine.load(LONG)
        wait_until(lambda: bool(reports_of_kind(reports, Position)))
        ports.press(0x90, 60, 77)
        ports.press(0x80, 60, 64)
        wait_until(lambda: [len(path.read_text().splitlines()) for path in tmp_path.iterdir()] == [3])
        os.kill(engine.process_id, signal.SIGKILL)
    (path,) = tmp_path.iterdir()
    _, down, up = path.read_text().splitlines()
    assert json.loads(down) == [0.0, 0x90, 60, 77]
    assert json.loads(up)[1:] == [0x80, 60, 64]


PARENT = """
import sys, time
from app.engine.client import EngineClient
from core.performance.output import Output
from core.performance.schedule import Schedule, TimedEvent
# A JACK port hears nothing of its first periods.
schedule = Schedule(tuple(TimedEvent(0.4, "on", midi, 80) for midi in (60, 64, 67)), 600.0)
engine = EngineClient(lambda report: None)
engine.choose_outputs((Output("phrasebench-listener"),))
engine.load(schedule)
engine.play()
print(engine.process_id, flush=True)
time.sleep(600)
"""


@pytest.fixture
def playing_parent(ports: Patchbay, tmp_path: Path) -> Iterator[tuple[subprocess.Popen[str], int]]:
    """A program that plays three keys through the listener and never lets them go; and its engine's process id."""
    script = tmp_path / "parent.py"
    script.write_text(PARENT, encoding="utf-8")
    environment = {**os.environ, "PYTHONPATH": str(HOME)}
    parent = subprocess.Popen([sys.executable, str(script)], stdout=subprocess.PIPE, text=True, env=environment)
    assert parent.stdout is not None
    engine = int(parent.stdout.readline())
    try:
        wait_until(lambda: ports.keys_down == {60, 64, 67})
        yield parent, engine
    finally:
        parent.kill()
        parent.wait()
        parent.stdout.close()


def is_running(process: int) -> bool:
    try:
        state = Path(f"/proc/{process}/stat").read_text(encoding="ascii").rsplit(")", 1)[1].split()[0]
    except OSError:
        return False
    return state != "Z"


def seconds_until(true: Callable[[], bool]) -> float:
    start = time.monotonic()
    wait_until(true)
    return time.monotonic() - start


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGTERM])
def test_killing_the_program_that_plays_leaves_no_note_sounding_and_no_process(
    playing_parent: tuple[subprocess.Popen[str], int], ports: Patchbay, how: signal.Signals
) -> None:
    parent, engine = playing_parent
    parent.send_signal(how)
    assert seconds_until(lambda: not ports.keys_down) < 1.0
    assert seconds_until(lambda: not is_running(engine)) < 1.0
    assert (0xB0, 123, 0) in ports.messages


def test_an_engine_that_is_told_to_end_leaves_no_note_sounding(
    playing_parent: tuple[subprocess.Popen[str], int], ports: Patchbay
) -> None:
    os.kill(playing_parent[1], signal.SIGTERM)
    wait_until(lambda: not ports.keys_down)

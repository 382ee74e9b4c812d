"""The engine as the window sees it: signals, and another engine where one dies."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator

import pytest
from pytestqt.qtbot import QtBot

from app.engine.protocol import ChooseOutputs, Ready
from app.engine.qt_client import MOST_STARTS, QtEngine
from core.performance.output import Output
from core.performance.schedule import Schedule, TimedEvent

SHORT = Schedule((TimedEvent(0.0, "on", 60, 80), TimedEvent(0.2, "off", 60, 0)), 0.2)
LONG = Schedule((TimedEvent(0.0, "on", 60, 80),), 60.0)
PATIENCE = 20_000


@pytest.fixture
def engine(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> Iterator[QtEngine]:
    assert qtbot is not None
    monkeypatch.setenv("PHRASEBENCH_SOUND", "null")
    engine = QtEngine()
    yield engine
    engine.close()


def process_of(engine: QtEngine) -> int:
    assert engine._process is not None
    return int(engine._process.processId())


class Heard:
    """Everything an engine has said, signal by signal."""

    def __init__(self, engine: QtEngine) -> None:
        self.ready: list[Ready] = []
        self.playing: list[int] = []
        self.ended: list[int] = []
        self.troubles: list[str] = []
        engine.ready.connect(self.ready.append)
        engine.position.connect(self._moved)
        engine.ended.connect(self.ended.append)
        engine.trouble.connect(self.troubles.append)

    def _moved(self, generation: int, _seconds: float, playing: bool) -> None:
        if playing:
            self.playing.append(generation)


@pytest.fixture
def heard(engine: QtEngine) -> Heard:
    return Heard(engine)


def test_it_starts_by_itself_says_what_there_is_and_plays_to_the_end(
    engine: QtEngine, heard: Heard, qtbot: QtBot
) -> None:
    generation = engine.load(SHORT)
    engine.play()
    qtbot.waitUntil(lambda: bool(heard.ended), timeout=PATIENCE)
    assert len(heard.ready) == 1
    assert heard.ready[0].sound
    assert set(heard.playing) == {generation}
    assert heard.ended == [generation]


def test_every_schedule_has_a_generation_of_its_own(engine: QtEngine) -> None:
    assert engine.load(SHORT) != engine.load(SHORT)


def test_an_engine_that_dies_is_started_again_and_what_played_has_ended(
    engine: QtEngine, heard: Heard, qtbot: QtBot
) -> None:
    generation = engine.load(LONG)
    engine.play()
    qtbot.waitUntil(lambda: bool(heard.playing), timeout=PATIENCE)
    os.kill(process_of(engine), signal.SIGKILL)
    qtbot.waitUntil(lambda: len(heard.ready) == 2, timeout=PATIENCE)
    assert heard.ended == [generation]
    assert ["started again" in trouble for trouble in heard.troubles] == [True]
    heard.playing.clear()
    engine.play()
    qtbot.waitUntil(lambda: bool(heard.playing), timeout=PATIENCE)


def test_what_a_new_engine_is_told_first_is_to_silence_the_ports_that_were_played_to(
    engine: QtEngine, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    with qtbot.waitSignal(engine.ready, timeout=PATIENCE):
        engine.choose_outputs((Output("Some Port"),))
        engine.set_speed(0.5)
    written: list[str] = []
    monkeypatch.setattr(QtEngine, "_write", lambda _, command: written.append(repr(command)))
    with qtbot.waitSignal(engine.ready, timeout=PATIENCE):
        os.kill(process_of(engine), signal.SIGKILL)
    assert written == [
        "Silence(ports=('Some Port',))",
        repr(ChooseOutputs((Output("Some Port"),))),
        "Speed(factor=0.5)",
    ]


def test_an_engine_that_dies_again_and_again_is_left_alone_until_it_is_asked(engine: QtEngine, qtbot: QtBot) -> None:
    for _ in range(MOST_STARTS - 1):
        engine.start()
        with qtbot.waitSignal(engine.trouble, timeout=PATIENCE):
            os.kill(process_of(engine), signal.SIGKILL)
    with qtbot.waitSignal(
        engine.trouble, timeout=PATIENCE, check_params_cb=lambda sentence: "again and again" in sentence
    ):
        os.kill(process_of(engine), signal.SIGKILL)
    assert engine._process is None
    with qtbot.waitSignal(engine.ready, timeout=PATIENCE):
        engine.start()


def test_missing_sound_is_said(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    for name, value in (("ALSA_CONFIG_PATH", "/dev/null"), ("PULSE_SERVER", "/dev/null")):
        monkeypatch.setenv(name, value)
    monkeypatch.setenv("JACK_DEFAULT_SERVER", "none-of-this-name")
    monkeypatch.delenv("PHRASEBENCH_SOUND", raising=False)
    engine = QtEngine()
    try:
        with qtbot.waitSignal(engine.trouble, timeout=PATIENCE) as heard:
            engine.start()
        assert heard.args is not None
        assert "No sound card answers" in heard.args[0]
    finally:
        engine.close()

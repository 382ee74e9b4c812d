"""Slow work in a process of its own: results and errors come back, stale ones do not."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import textwrap
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.background.frames import FrameReader, Outcome, Task, pack
from app.background.slow_work import SlowWork
from tests.helpers import slow_tasks

HOME = Path(__file__).resolve().parents[3]


@pytest.fixture
def work(qtbot: QtBot) -> Iterator[SlowWork]:
    assert qtbot is not None
    slow_work = SlowWork()
    yield slow_work
    slow_work.close()


class Outcomes:
    """What came back."""

    def __init__(self) -> None:
        self.results: list[object] = []
        self.errors: list[str] = []

    def start(self, work: SlowWork, function: Callable[..., object], *arguments: object, name: str = "") -> None:
        work.start(function, *arguments, done=self.results.append, failed=self.errors.append, name=name)


def test_results_come_back_in_order_whatever_libraries_print(work: SlowWork, qtbot: QtBot) -> None:
    outcomes = Outcomes()
    for number in (1, 2, 3):
        outcomes.start(work, slow_tasks.double, number)
    assert work.busy == 3
    qtbot.waitUntil(lambda: len(outcomes.results) == 3, timeout=20_000)
    assert outcomes.results == [2, 4, 6]
    assert work.busy == 0


def test_an_error_comes_back_as_one_sentence(work: SlowWork, qtbot: QtBot) -> None:
    outcomes = Outcomes()
    outcomes.start(work, slow_tasks.refuse)
    outcomes.start(work, slow_tasks.missing_file)
    outcomes.start(work, slow_tasks.stumble)
    qtbot.waitUntil(lambda: len(outcomes.errors) == 3, timeout=20_000)
    assert outcomes.errors[0] == "This cannot be done."
    assert outcomes.errors[1] == "/nowhere/song.abc: no such file or directory."
    assert "ZeroDivisionError" in outcomes.errors[2]


def test_a_task_of_the_same_name_makes_the_older_one_stale(work: SlowWork, qtbot: QtBot) -> None:
    outcomes = Outcomes()
    outcomes.start(work, slow_tasks.process_number)
    outcomes.start(work, slow_tasks.double, 1, name="twice")
    outcomes.start(work, slow_tasks.double, 2, name="twice")
    qtbot.waitUntil(lambda: len(outcomes.results) == 2, timeout=20_000)
    assert outcomes.results[1] == 4


def test_a_helper_that_dies_is_said_and_started_again(work: SlowWork, qtbot: QtBot) -> None:
    outcomes = Outcomes()
    outcomes.start(work, slow_tasks.die)
    qtbot.waitUntil(lambda: len(outcomes.errors) == 1, timeout=20_000)
    assert "ended before its work was done" in outcomes.errors[0]
    outcomes.start(work, slow_tasks.double, 4)
    qtbot.waitUntil(lambda: outcomes.results == [8], timeout=20_000)


def test_forgetting_the_only_task_ends_it_at_once(work: SlowWork, qtbot: QtBot) -> None:
    outcomes = Outcomes()
    outcomes.start(work, slow_tasks.process_number)
    qtbot.waitUntil(lambda: len(outcomes.results) == 1, timeout=20_000)
    helper = outcomes.results[0]
    assert isinstance(helper, int)
    outcomes.start(work, slow_tasks.wait_for_ever, name="endless")
    work.forget("endless")
    assert work.busy == 0
    with pytest.raises(ProcessLookupError):
        os.kill(helper, 0)


def test_messages_are_whole_whatever_pieces_they_come_in() -> None:
    messages: list[Task | Outcome] = [
        Task(1, "core.song.pitch:Pitch", ("C", 0, 4)),
        Outcome(1, {"a": 1}),
        Outcome(2, error="No."),
    ]
    data = b"".join(pack(message) for message in messages)
    reader = FrameReader()
    found = [message for place in range(len(data)) for message in reader.feed(data[place : place + 1])]
    assert found == messages


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="only where a process can be killed outright")
def test_the_helper_ends_with_a_parent_that_was_killed() -> None:
    parent_code = textwrap.dedent("""
        import subprocess, sys
        from app.background.frames import Task, pack
        helper = subprocess.Popen([sys.executable, "-m", "app.background"], stdin=subprocess.PIPE)
        helper.stdin.write(pack(Task(1, "tests.helpers.slow_tasks:wait_for_ever", ())))
        helper.stdin.flush()
        print("busy", flush=True)
        helper.wait()
    """)
    with subprocess.Popen([sys.executable, "-c", parent_code], stdout=subprocess.PIPE, text=True, cwd=HOME) as parent:
        assert parent.stdout is not None
        assert parent.stdout.readline() == "busy\n"
        parent.kill()
        # The helper holds the other end of the parent's output: it can be read to its end only once both are gone.
        assert parent.stdout.read() == ""

"""What a start of the window loads: nothing that takes long and that no first picture needs."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from app.resources import HOME

SLOW = ("cyclopts", "music21", "mido", "numpy", "typst", "rich", "rtmidi", "miniaudio")


def loaded_by(code: str) -> set[str]:
    """The modules that a program of its own has loaded at its end."""
    program = f"{code}\nimport sys\nprint(*sys.modules)"
    surroundings = {**os.environ, "PYTHONPATH": str(HOME), "QT_QPA_PLATFORM": "offscreen"}
    done = subprocess.run(
        [sys.executable, "-c", program], env=surroundings, check=True, capture_output=True, text=True, cwd=HOME
    )
    return set(done.stdout.split())


def test_opening_a_lesson_loads_nothing_slow() -> None:
    found = loaded_by("import app.main, app.commands.open_window, app.window.starting")
    assert "app.window.main_window" in found
    assert found.isdisjoint(SLOW)


def test_every_other_command_line_is_read_in_full(capsys: pytest.CaptureFixture[str]) -> None:
    from app.main import main

    assert main(["opne", "night_ferry.lesson"]) == 2
    assert "open" in capsys.readouterr().err
    assert main(["open", "--help"]) == 0
    assert "FILE" in capsys.readouterr().out


def test_the_plan_of_the_command_line_says_whose_times_it_counts(capsys: pytest.CaptureFixture[str]) -> None:
    from app.main import main

    assert main(["plan", "--help"]) == 0
    assert "usual values" in " ".join(capsys.readouterr().out.split())

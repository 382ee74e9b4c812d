"""``plan --preset``: the lesson as its teacher gives it, from the settings that the window keeps."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from msgspec.structs import replace

from app.main import main
from app.settings.settings import Settings
from app.settings.settings_place import settings_path
from app.settings.settings_text import write_settings
from core.session.lesson_settings import LessonSettings, Preset

DEMO = Path(__file__).parents[2] / "demo_songs" / "night_ferry.lesson"
SLOW = Preset("Slow", LessonSettings(right_hand_times=4, opening="end", segments=("opening", "right_hand")))
SHORT = Preset("Two takes", LessonSettings(together_times=1))


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder that holds a lesson, and a place of its own for settings; the path of their file."""
    for variable in ("XDG_CONFIG_HOME", "LOCALAPPDATA", "HOME", "USERPROFILE"):
        monkeypatch.setenv(variable, str(tmp_path / "home"))
    shutil.copy(DEMO, tmp_path / "song.lesson")
    monkeypatch.chdir(tmp_path)
    path = settings_path()
    assert path.is_relative_to(tmp_path)
    path.parent.mkdir(parents=True)
    return path


def keep(path: Path, *presets: Preset) -> None:
    path.write_text(write_settings(Settings(presets=presets)), encoding="utf-8")


def planned(folder: str) -> list[str]:
    plan = json.loads(Path(folder, "plan.json").read_bytes())
    return [segment["kind"] for segment in plan["segments"]]


def test_a_lesson_is_planned_by_a_preset(kept: Path, capsys: pytest.CaptureFixture[str]) -> None:
    keep(kept, SLOW, SHORT)
    assert main(["plan", "song.lesson", "--out", "slow", "--preset", "Slow", "--json"]) == 0
    report = json.loads(capsys.readouterr().out)
    assert report["preset"] == "Slow"
    assert planned("slow") == ["opening", "right_hand", "right_hand", "right_hand"]


def test_without_a_preset_the_settings_change_nothing(kept: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", "song.lesson", "--out", "before"]) == 0
    kept.write_text(write_settings(replace(Settings(presets=(SLOW,)), right_hand_times=7)), encoding="utf-8")
    assert main(["plan", "song.lesson", "--out", "after"]) == 0
    assert Path("before/plan.json").read_bytes() == Path("after/plan.json").read_bytes()
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize(
    ("presets", "name", "sentence"),
    [
        ((), "Slow", "plan: there is no preset “Slow”, nor any other yet; Settings in the window keeps them."),
        ((SLOW, SHORT), "Fast", "plan: there is no preset “Fast”; there are “Slow”, “Two takes”."),
        (
            (SLOW, SHORT),
            "two takes",
            "plan: there is no preset “two takes”; did you mean “Two takes”? There are “Slow”, “Two takes”.",
        ),
    ],
)
def test_a_preset_that_is_not_there_is_refused_and_those_there_are_named(
    kept: Path, capsys: pytest.CaptureFixture[str], presets: tuple[Preset, ...], name: str, sentence: str
) -> None:
    keep(kept, *presets)
    assert main(["plan", "song.lesson", "--out", "plan", "--preset", name]) == 2
    assert capsys.readouterr().err == f"{sentence}\n"
    assert not Path("plan").exists()


def test_damaged_settings_are_named_in_one_sentence(kept: Path, capsys: pytest.CaptureFixture[str]) -> None:
    kept.write_text("{", encoding="utf-8")
    assert main(["plan", "song.lesson", "--out", "plan", "--preset", "Slow"]) == 2
    assert capsys.readouterr().err.startswith(f"The settings file {kept} is damaged; mend it")
    assert not Path("plan").exists()


def test_an_empty_name_is_no_preset(kept: Path, capsys: pytest.CaptureFixture[str]) -> None:
    keep(kept, SLOW)
    assert main(["plan", "song.lesson", "--out", "plan", "--preset", ""]) == 2
    assert "name is wanted" in capsys.readouterr().err


def test_a_preset_is_found_without_the_window_s_library(kept: Path) -> None:
    keep(kept, SLOW)
    said = (
        "import sys; from app.main import main\n"
        "assert main(['plan', 'song.lesson', '--out', 'plan', '--preset', 'Slow']) == 0\n"
        "sys.exit(any(name.partition('.')[0] in ('PySide6', 'shiboken6') for name in sys.modules))"
    )
    known = {**os.environ, "PYTHONPATH": str(DEMO.parents[1])}
    assert (
        subprocess.run([sys.executable, "-c", said], env=known, check=False, stdout=subprocess.DEVNULL).returncode == 0
    )

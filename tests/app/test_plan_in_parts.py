"""``plan --parts``: as many parts as are asked for, or the nearest number, which is said."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from app.main import main

DEMO = Path(__file__).parents[2] / "demo_songs" / "night_ferry.lesson"


@pytest.fixture
def planned(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder that holds a lesson, and is worked in."""
    shutil.copy(DEMO, tmp_path / "song.lesson")
    monkeypatch.chdir(tmp_path)
    return tmp_path / "plan"


def parts_in(folder: Path) -> int:
    segments = json.loads((folder / "plan.json").read_bytes())["segments"]
    return sum(segment["kind"] == "together" for segment in segments)


@pytest.mark.parametrize("count", [1, 2, 4])
def test_a_song_is_planned_in_as_many_parts_as_are_asked_for(
    planned: Path, capsys: pytest.CaptureFixture[str], count: int
) -> None:
    assert main(["plan", "song.lesson", "--out", "plan", "--parts", str(count)]) == 0
    assert capsys.readouterr().err == ""
    assert parts_in(planned) == count


def test_more_parts_than_a_song_can_have_become_the_nearest_number(
    planned: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["plan", "song.lesson", "--out", "plan", "--parts", "500"]) == 0
    said = capsys.readouterr().err
    assert said.startswith("note: song.lesson: The song cannot be cut into 500 parts; it has ")
    assert f"it has {parts_in(planned)}, the nearest" in said


@pytest.mark.parametrize("count", ["0", "-2", "two", "1.5"])
def test_a_number_of_parts_that_cannot_be_is_refused(
    planned: Path, capsys: pytest.CaptureFixture[str], count: str
) -> None:
    assert main(["plan", "song.lesson", "--out", "plan", "--parts", count]) == 2
    assert capsys.readouterr().err.count("\n") == 1
    assert not planned.exists()

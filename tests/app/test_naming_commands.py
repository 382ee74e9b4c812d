"""`plan --naming` and `inspect --naming`: notes and chords are called as the teacher does."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from app.main import main
from app.resources import HOME

DEMO = str(HOME / "demo_songs" / "night_ferry.lesson")


@pytest.mark.parametrize(
    ("naming", "right", "left"),
    [
        (None, "F sharp", "B"),
        ("signs", "F♯", "B"),
        ("german", "Fis", "H"),
        ("syllables", "Fa sharp", "Si"),
        ("degrees", "two", "five"),
    ],
)
def test_inspect_says_words_in_a_way_of_naming(
    naming: str | None, right: str, left: str, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = () if naming is None else ("--naming", naming)
    assert main(("inspect", DEMO, "--only", "parts", *asked)) == 0
    part = json.loads(capsys.readouterr().out)["parts"][0]
    assert right in part["right_hand"]
    assert left in part["left_hand"]


def test_a_plan_says_and_shows_words_in_a_way_of_naming(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(("plan", DEMO, "--out", str(tmp_path / "plan"), "--naming", "syllables")) == 0
    capsys.readouterr()
    segments = json.loads((tmp_path / "plan" / "plan.json").read_bytes())["segments"]
    first = next(segment for segment in segments if segment["kind"] == "right_hand")
    assert "the Mi above middle Do" in " ".join(first["say"])
    assert first["on_screen"] == "Part 1 · right hand · Mi Sol La Si La Sol Fa♯"
    assert "in Mi Dorian" in " ".join(segments[0]["say"])
    assert ">Fa♯<" in (tmp_path / "plan" / "plan.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("command", [("inspect", DEMO), ("plan", DEMO, "--out", "plan")])
def test_an_unknown_way_of_naming_is_answered_in_one_sentence_that_lists_them(
    command: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main((*command, "--naming", "bogus")) == 2
    told = capsys.readouterr().err
    assert told.count("\n") == 1
    assert "'bogus'" in told
    assert "letters, signs, german, syllables, degrees" in told
    assert not Path("plan").exists()

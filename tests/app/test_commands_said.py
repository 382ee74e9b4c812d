"""What the commands complain of, as somebody types them who has chosen another language."""

import json
import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from app.background.frames import Task
from app.background.worker import do
from app.commands.song_files import song_in_parts, song_named
from app.commands.unforeseen import unforeseen
from app.document.lesson_store import open_lesson, save_lesson
from app.main import main
from app.settings.settings import Settings
from app.settings.settings_text import SettingsError, read_settings, write_settings
from core.formats.lesson_file import LessonFile
from core.song.errors import DomainError, FormatError
from tests.helpers.open_places import open_places, words_unsaid
from tests.helpers.songs import night_ferry

DATA = {"lesson", "json", "html", "wav", "flac", "txt", "musicxml", "mxl", "xml", "mid", "midi", "abc", "played"}
"""Endings of files."""
TYPED: tuple[tuple[str, ...], ...] = (
    ("7",),
    ("plann",),
    ("inspect",),
    ("inspect", "1.lesson", "--only", "titel"),
    ("inspect", "9.lesson"),
    ("inspect", "1.html"),
    ("inspect", ""),
    ("inspect", "1.lesson#9"),
    ("open", "9.lesson"),
    ("open", "1.html"),
    ("plan", "1.lesson", "--out", "1.lesson/2"),
    ("plan", "1.lesson", "--out", "2", "--preset", "7"),
    ("convert", "1.lesson", "--out", "1.html"),
    ("convert", "1.lesson", "--out", "1.lesson"),
    ("convert", "1.lesson", "--out", "3/1.lesson"),
    ("play", "1.lesson", "--part", "9", "--to", "1.wav"),
    ("play", "1.lesson", "--parts", "?", "--to", "1.wav"),
    ("play", "1.lesson", "--bars", "?", "--to", "1.wav"),
    ("play", "1.lesson", "--bars", "999", "--to", "1.wav"),
    ("play", "1.lesson", "--segment", "999", "--to", "1.wav"),
    ("play", "1.lesson", "--part", "1", "--through", "2", "--to", "1.wav"),
    ("play", "1.lesson", "--speed", "9000"),
    ("play", "1.lesson", "--times", "0", "--to", "1.wav"),
    ("play", "1.lesson", "--to", "1.html"),
    ("play", "1.lesson", "--to", "1.wav", "--port", "7"),
    ("play", "1.lesson", "--port", "7", "--soundfont", "7"),
    ("play", "1.lesson", "--segment", "1", "--hand", "left"),
    ("play", "1.lesson", "--also", "7", "--also", "7"),
    ("play", "1.lesson", "--also", ";"),
    ("play", "1.lesson", "--also", "7; ?"),
    ("play", "1.lesson", "--soundfont", "7", "--to", "1.wav"),
)
WORDS_TYPED = {
    *("plann", "plan", "inspect", "play", "open", "convert", "titel", "title", "help", "phrasebench", "FILE", "error"),
    *(
        "port",
        "part",
        "through",
        "also",
        "hand",
        "left",
        "night",
        "ferry",
        "Stage",
        "piano",
        "right",
        "latency",
        "file",
    ),
}
"""What was typed, or is to be, stands in complaints as it is."""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of its own with one lesson, and settings of its own."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "settings"))
    (tmp_path / "1.lesson").write_bytes(LessonFile().write("1.lesson", night_ferry()))
    (tmp_path / "1.html").write_bytes(b"")
    return tmp_path


def left(text: str, *known: str) -> list[str]:
    """The words that were never said; names of files, the system's reasons and what was typed stand as they are."""
    for name in (*known, "no such file or directory", "not a directory"):
        text = text.replace(name, "")
    return [word for word in words_unsaid(text) if word not in DATA | WORDS_TYPED]


@pytest.mark.parametrize("words", TYPED, ids=" ".join)
def test_a_complaint_is_said(words: tuple[str, ...], folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with open_places():
        status = main(words)
    complaint = capsys.readouterr().err
    assert status == 2
    assert complaint.count("\n") == 1
    assert "⟦" in complaint
    assert left(complaint, str(folder)) == []


def test_a_report_in_json_has_the_same_fields_in_every_language(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    fields = []
    for speak in (open_places, None):
        if speak is None:
            main(("inspect", "1.lesson", "9.lesson"))
        else:
            with speak():
                main(("inspect", "1.lesson", "9.lesson"))
        fields.append([set(json.loads(line)) for line in capsys.readouterr().out.splitlines()])
    assert fields[0] == fields[1]
    assert (folder / "1.lesson").exists()


def test_notes_about_a_result_are_said(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / "1.abc").write_text("X:1\nT:1\nM:4/4\nL:1/4\nK:C\nC D (E F)|\n", encoding="utf-8")
    with open_places():
        assert main(("convert", "1.abc", "--out", "2.lesson")) == 0
        _, remarks = song_in_parts(song_named("1.lesson"), 70)
    notes = capsys.readouterr().err
    assert notes.count("⟦note: ⟧") == notes.count("\n") >= 2
    assert left(notes) == []
    assert left(" ".join(remarks)) == []


def test_what_nobody_foresaw_is_said() -> None:
    with open_places():
        error = unforeseen(KeyError("7"), "7")
    report = Path(str(error).split("⟧")[3].split("⟦")[0])
    try:
        assert left(str(error), str(report), "KeyError") == []
    finally:
        report.unlink(missing_ok=True)


@pytest.mark.parametrize(
    "task",
    [
        Task(1, "builtins:open", ("/nowhere/7",)),
        Task(1, "builtins:int", ("?",)),
        Task(1, "app.document.lesson_store:open_lesson", (Path("/nowhere/7"),)),
    ],
)
def test_what_the_helper_process_reports_is_said(task: Task) -> None:
    with open_places():
        outcome = do(task)
    assert outcome.error is not None
    reasons = ("/nowhere/7", "ValueError", "invalid literal for int() with base")
    assert left(outcome.error, *reasons) == []


def test_what_keeps_a_lesson_from_being_saved_is_said(folder: Path) -> None:
    path = folder / "1.lesson"
    stored = open_lesson(path)
    shutil.copy(folder / "1.html", path)
    with open_places():
        with pytest.raises(FormatError) as changed:
            save_lesson(night_ferry(), path, stored)
        with pytest.raises(FormatError) as missing:
            open_lesson(folder / "9.lesson")
    assert left(f"{changed.value} {missing.value}") == []


SETTINGS: tuple[Callable[[], object], ...] = (
    lambda: Settings(theme="7"),
    lambda: Settings(hands="7"),
    lambda: Settings(softer="7"),
    lambda: Settings(own_hands="7"),
    lambda: Settings(clicks=70),
    lambda: Settings(click_percent=7000),
    lambda: Settings(faster=7000),
    lambda: Settings(zoom=7000),
    lambda: Settings(speed=7000),
    lambda: Settings(text_scale=7000),
    lambda: Settings(motion="7"),
    lambda: Settings(hints_done=70),
    lambda: Settings(phrases=("",)),
    lambda: Settings(keys_shown=7),
    lambda: Settings().lesson_as("7"),
)
NAMES_OF_CHOICES = {"system", "light", "dark", "both", "right", "left", "none", "full", "less"}


@pytest.mark.parametrize("make", SETTINGS)
def test_a_setting_that_does_not_fit_is_said(make: Callable[[], object]) -> None:
    with open_places():
        with pytest.raises(DomainError) as error:
            make()
        words = words_unsaid(f"{error.value.field} {error.value.expected}")
    assert [word for word in words if word not in NAMES_OF_CHOICES] == []


def test_a_damaged_settings_file_is_said() -> None:
    document = json.loads(write_settings(Settings()))
    with open_places():
        for text in ("{", "[]"):
            with pytest.raises(SettingsError) as error:
                read_settings(text)
            assert left(str(error.value)) == []
        warnings = read_settings(json.dumps({**document, "zoom": "7"})).warnings
    assert [left(warning, "zoom") for warning in warnings] == [[]]
    assert os.linesep not in warnings[0]

"""The settings lie in one place, whether the window asks for it or the command line."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QStandardPaths

from app.settings.settings import Settings
from app.settings.settings_place import kept_settings, settings_path
from app.settings.settings_text import SettingsError, write_settings

HOME = Path("/home/ada")


@pytest.mark.parametrize(
    ("platform", "environment", "place"),
    [
        ("linux", {}, HOME / ".config/phrasebench/settings.json"),
        ("linux", {"XDG_CONFIG_HOME": "/etc/ada"}, Path("/etc/ada/phrasebench/settings.json")),
        ("linux", {"XDG_CONFIG_HOME": "here"}, HOME / ".config/phrasebench/settings.json"),
        ("darwin", {"XDG_CONFIG_HOME": "/etc/ada"}, HOME / "Library/Preferences/phrasebench/settings.json"),
        ("win32", {"LOCALAPPDATA": "/ada/Local"}, Path("/ada/Local/phrasebench/settings.json")),
        ("win32", {}, HOME / "AppData/Local/phrasebench/settings.json"),
    ],
)
def test_every_platform_has_its_place(platform: str, environment: dict[str, str], place: Path) -> None:
    assert settings_path(platform, environment, HOME) == place


@pytest.mark.parametrize("moved", [None, "absolute", "relative"])
def test_it_is_the_place_that_the_window_s_library_names(
    moved: str | None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = QCoreApplication.applicationName()
    if moved is None:
        monkeypatch.delenv("XDG_CONFIG_HOME", raising=False)
    else:
        monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path) if moved == "absolute" else "relative")
    try:
        QCoreApplication.setApplicationName("phrasebench")
        folder = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppConfigLocation)
    finally:
        QCoreApplication.setApplicationName(before)
    assert settings_path() == Path(folder) / "settings.json"


def test_it_is_found_without_the_window_s_library() -> None:
    asked = "import sys; from app.settings.settings_place import settings_path; settings_path()"
    said = f"{asked}; sys.exit(any(name.startswith('PySide6') for name in sys.modules))"
    assert subprocess.run([sys.executable, "-c", said], check=False).returncode == 0


def test_settings_that_were_never_kept_are_the_usual_ones(tmp_path: Path) -> None:
    assert kept_settings(tmp_path / "settings.json") == Settings()


def test_settings_are_read_as_they_were_kept(tmp_path: Path) -> None:
    path = tmp_path / "settings.json"
    path.write_text(write_settings(Settings(zoom=150)), encoding="utf-8")
    assert kept_settings(path) == Settings(zoom=150)


def test_a_file_that_is_no_text_is_refused_in_a_sentence(tmp_path: Path) -> None:
    path = tmp_path / "settings.json"
    path.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(SettingsError, match=r"settings\.json cannot be read\.$"):
        kept_settings(path)

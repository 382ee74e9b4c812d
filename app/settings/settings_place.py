"""Where the settings lie, found without the window's library: the command line reads them too."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from app.settings.settings import Settings
from app.settings.settings_text import SettingsError, read_settings
from core.song.wording import say

FOLDER: Final = "phrasebench"
FILE: Final = "settings.json"


def settings_path(
    platform: str = sys.platform, environment: Mapping[str, str] = os.environ, home: Path | None = None
) -> Path:
    """Where a platform keeps a program's settings: the place that Qt calls AppConfigLocation.

    Args:
        platform: as `sys.platform` names it.
        environment: the variables by which a user may have moved such files.
        home: the user's own folder; None to ask the system.

    Returns:
        ``~/.config/phrasebench/settings.json``, or below XDG_CONFIG_HOME (XDG Base Directory Specification: a path
        that is not absolute does not count); on macOS below ``~/Library/Preferences``; on Windows in the local
        application data.
    """
    home = home or Path.home()
    if platform == "darwin":
        folder = home / "Library" / "Preferences"
    elif platform == "win32":
        local = environment.get("LOCALAPPDATA", "")
        folder = Path(local) if local else home / "AppData" / "Local"
    else:
        moved = environment.get("XDG_CONFIG_HOME", "")
        folder = Path(moved) if moved.startswith("/") else home / ".config"
    return folder / FOLDER / FILE


def kept_settings(path: Path) -> Settings:
    """The settings that a file keeps; the usual ones where it does not exist.

    Raises:
        SettingsError: the file cannot be read or is damaged.
    """
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return Settings()
    except (OSError, UnicodeDecodeError) as error:
        raise SettingsError(say("The settings file {path} cannot be read.", path=path)) from error
    try:
        return read_settings(text).settings
    except SettingsError as error:
        raise SettingsError(
            say("The settings file {path} is damaged; mend it, or move it away to begin anew.", path=path)
        ) from error

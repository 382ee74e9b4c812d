"""Settings in use: read once at the start, written beside and swapped in at every change."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from msgspec.structs import replace
from PySide6.QtCore import QObject, Signal

from app.settings.settings import Settings
from app.settings.settings_text import SettingsError, read_settings, write_settings


class SettingsStore(QObject):
    """The settings in use, and the file they are kept in.

    Attributes:
        troubles: one sentence for everything that could not be read at the start.
    """

    changed = Signal(object, object)
    """Settings before and after a change."""
    trouble = Signal(str)
    """One sentence: the settings could not be written."""

    def __init__(self, path: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._path = path
        self._settings = Settings()
        self.troubles: tuple[str, ...] = ()
        self._read()

    @property
    def folder(self) -> Path:
        """Where the program keeps what is its own: the settings, and beside them what must survive a crash."""
        return self._path.parent

    @property
    def settings(self) -> Settings:
        """The settings as they are now."""
        return self._settings

    @property
    def folder_of_playing(self) -> Path:
        """Where what is played in on a keyboard is kept: beside the settings."""
        return self._path.parent / "played"

    def change(self, **values: Any) -> None:  # noqa: ANN401 - the fields of Settings have many types
        """Set fields by name and write the file; raises DomainError for a value out of its range."""
        before = self._settings
        after = replace(before, **values)
        if after == before:
            return
        self._settings = after
        self._write()
        self.changed.emit(before, after)

    def _read(self) -> None:
        try:
            text = self._path.read_text(encoding="utf-8")
        except FileNotFoundError:
            return
        except (OSError, UnicodeDecodeError):
            text = self.tr("The settings file %1 cannot be read; the usual settings are used.")
            self.troubles = (text.replace("%1", str(self._path)),)
            return
        try:
            found = read_settings(text)
        except SettingsError as error:
            self._keep_aside()
            self.troubles = (str(error),)
            return
        if found.migrated or found.warnings:
            self._keep_aside()
        self._settings = found.settings
        self.troubles = found.warnings

    def _keep_aside(self) -> None:
        """Keep the file as it was found beside itself, before anything newer takes its place."""
        try:
            self._path.with_suffix(".before.json").write_bytes(self._path.read_bytes())
        except OSError:
            text = self.tr("No copy of the older settings could be kept beside %1.")
            self.trouble.emit(text.replace("%1", str(self._path)))

    def _write(self) -> None:
        beside = self._path.with_suffix(".new")
        try:
            self._path.parent.mkdir(parents=True, exist_ok=True)
            beside.write_text(write_settings(self._settings), encoding="utf-8")
            beside.replace(self._path)
        except OSError as error:
            reason = (error.strerror or self.tr("no reason given")).lower()
            text = self.tr("The settings could not be written to %1: %2.")
            self.trouble.emit(text.replace("%1", str(self._path)).replace("%2", reason))

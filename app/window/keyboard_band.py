"""The band at the window's foot: the keyboard, in the size the settings say, with an edge that can be dragged."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.document.document import LessonDocument
from app.settings.settings import Settings
from app.settings.settings_store import SettingsStore
from app.widgets.height_grip import HeightGrip
from app.widgets.keyboard_view import KeyboardView
from app.widgets.lit_keys import brackets_at, brackets_for, keys_for, keys_of_song, names_of_keys
from app.widgets.selection import Place
from app.widgets.themes import Themes
from core.drawing.keyboard import LitKey
from core.teaching.naming import Naming

SHARE: Final = 0.14
USUAL_HEIGHTS: Final = (100, 166)
"""Pixels of the keyboard in the lowest and in the highest window, where its owner has not chosen another height."""
LEAST: Final = 72
LARGEST_SHARE: Final = 0.45
"""Of the window's height: so much room at least stays for the sheet."""


class KeyboardBand(QWidget):
    """The keyboard with its upper edge."""

    def __init__(
        self,
        document: LessonDocument,
        settings: SettingsStore,
        themes: Themes,
        parent: QWidget | None = None,
        over: Callable[[Mapping[int, LitKey]], Mapping[int, LitKey]] | None = None,
    ) -> None:
        """A keyboard.

        Args:
            document: the lesson.
            settings: its size, and what keys are called.
            themes: its colours.
            parent: the owner.
            over: what is lit where some keys are lit anyhow: those, and over them what somebody plays.
        """
        super().__init__(parent)
        self._document = document
        self._settings = settings
        self._place = Place()
        self._base: Mapping[int, LitKey] = {}
        self._over = over
        self._room = 800
        self._begun_at = 0
        self.setObjectName("keyboard-ground")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.grip = HeightGrip(themes, self)
        self.keyboard = KeyboardView(themes, self)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(16, 0, 16, 8)
        layout.setSpacing(0)
        layout.addWidget(self.grip)
        layout.addWidget(self.keyboard)
        self.grip.taken.connect(self._take)
        self.grip.dragged.connect(self._drag)
        self.grip.reset.connect(lambda: settings.change(keyboard_height=0))
        settings.changed.connect(self._settings_changed)
        self.keyboard.set_size(settings.settings.keys_shown)
        self.show_song()

    def fit(self, room: int) -> None:
        """Take its share of a height in pixels, or the height that was chosen, as far as there is room."""
        self._room = room
        low, high = USUAL_HEIGHTS
        chosen = self._settings.settings.keyboard_height or min(max(low, round(room * SHARE)), high)
        self.keyboard.setFixedHeight(min(max(LEAST, chosen), max(LEAST, round(room * LARGEST_SHARE))))

    def show_song(self) -> None:
        """Show the keys that the song needs."""
        self.keyboard.show_range(keys_of_song(self._document.song))

    def show_place(self, place: Place) -> None:
        """Light the keys of what is selected, and mark where the hands lie there."""
        self._place = place
        song = self._document.song
        self._light(keys_for(song, place))
        self.keyboard.show_brackets(brackets_for(song, place))

    def show_sounding(self, keys: Mapping[int, LitKey]) -> None:
        """Light the keys that sound now."""
        self._light(keys)

    def show_moment(self, part: int, tick: int) -> None:
        """Mark where the hands lie at a moment of a part that is being played."""
        if 1 <= part <= len(self._document.song.parts):
            self.keyboard.show_brackets(brackets_at(self._document.song, part, tick))

    def show_played(self) -> None:
        """Light what somebody plays and what the music waits for, over what is lit anyhow."""
        self._light(self._base)

    def _light(self, base: Mapping[int, LitKey]) -> None:
        self._base = base
        keys = base if self._over is None else self._over(base)
        self.keyboard.light(keys)
        settings = self._settings.settings
        naming = Naming(settings.naming)
        named = settings.key_names
        self.keyboard.show_names(names_of_keys(self._document.song, self._place, naming, keys) if named else {})

    def _take(self) -> None:
        self._begun_at = self.keyboard.height()

    def _drag(self, up: int) -> None:
        height = min(max(LEAST, self._begun_at + up), max(LEAST, round(self._room * LARGEST_SHARE)))
        self._settings.change(keyboard_height=height)

    def _settings_changed(self, before: Settings, after: Settings) -> None:
        if before.keyboard_height != after.keyboard_height:
            self.fit(self._room)
        if before.keys_shown != after.keys_shown:
            self.keyboard.set_size(after.keys_shown)
        if (before.key_names, before.naming) != (after.key_names, after.naming):
            self._light(self._base)

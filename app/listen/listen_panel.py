"""At the right of Listen: how the selected part is embellished, its tempo, how it is practised, other keys."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.background.slow_work import SlowWork
from app.document.document import LessonDocument
from app.listen.embellish_panel import EmbellishPanel
from app.listen.keys_panel import KeysPanel
from app.listen.practice_panel import PracticePanel
from app.listen.tempo_panel import TempoPanel
from app.settings.settings_store import SettingsStore
from app.widgets.themes import Themes


class ListenPanel(QWidget):
    """Everything about listening that stands beside the sheet."""

    def __init__(
        self,
        document: LessonDocument,
        settings: SettingsStore,
        slow_work: SlowWork,
        themes: Themes,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._slow_work = slow_work
        self._themes = themes
        self._keys: KeysPanel | None = None
        self.embellish = EmbellishPanel(document, settings, self)
        self.tempo = TempoPanel(document, self)
        self.practice = PracticePanel(settings, self)
        self._keys_place = QVBoxLayout()
        layout = QVBoxLayout(self)
        layout.setContentsMargins(16, 16, 16, 16)
        layout.setSpacing(12)
        layout.addWidget(self.embellish)
        layout.addSpacing(8)
        layout.addWidget(self.tempo)
        layout.addSpacing(8)
        layout.addWidget(self.practice)
        layout.addSpacing(8)
        layout.addLayout(self._keys_place)
        layout.addStretch()

    @property
    def keys(self) -> KeysPanel:
        """The song in twelve keys; made when Listen is first shown."""
        if self._keys is None:
            self._keys = KeysPanel(self._document, self._slow_work, self._themes, self)
            self._keys_place.addWidget(self._keys)
        return self._keys

    def close_panel(self) -> None:
        """Wait for nothing any more."""
        if self._keys is not None:
            self._keys.close_panel()

    def show_part(self, number: int) -> None:
        """Show what belongs to a part."""
        self.embellish.show_part(number)
        self.keys.refresh()
        self.tempo.show_part(number)

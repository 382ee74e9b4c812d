"""At the right of Listen: what the left hand plays in the selected part, and what that costs."""

from __future__ import annotations

from PySide6.QtWidgets import QButtonGroup, QVBoxLayout, QWidget

from app.background.slow_work import SlowWork
from app.document.document import LessonDocument
from app.listen.keys_panel import KeysPanel
from app.listen.practice_panel import PracticePanel
from app.listen.tempo_panel import TempoPanel
from app.settings.settings_store import SettingsStore
from app.widgets.button import Button
from app.widgets.flow_layout import FlowLayout
from app.widgets.labels import label
from app.widgets.themes import Themes
from core.arranging.left_hand import PATTERNS, pattern_in
from core.edits.set_teaching import set_pattern
from core.session.analysis import part_effort
from core.song.note import Hand
from core.song.song import Song


class ListenPanel(QWidget):
    """The left hand's patterns."""

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
        self._number = 1
        self._title = label("", self, look="heading")
        self._about = label("", self, look="quiet")
        self._about.setWordWrap(True)
        self._none = label(self.tr("This part has no chords yet: the left hand rests."), self, look="quiet")
        self._none.setWordWrap(True)
        self.patterns: dict[str, Button] = {}
        group = QButtonGroup(self)
        flow = FlowLayout(spacing=8)
        for pattern in PATTERNS:
            button = Button(pattern.title, self, name=self.tr("Left hand plays %1").replace("%1", pattern.title))
            button.setCheckable(True)
            button.clicked.connect(lambda _=False, name=pattern.name: self._choose(name))
            group.addButton(button)
            flow.addWidget(button)
            self.patterns[pattern.name] = button
        self.everywhere = Button("", self, look="link", does=self._choose_everywhere)
        self.tempo = TempoPanel(document, self)
        self.practice = PracticePanel(settings, self)
        self._keys_place = QVBoxLayout()
        layout = QVBoxLayout(self)
        layout.setContentsMargins(16, 16, 16, 16)
        layout.setSpacing(12)
        layout.addWidget(self._title)
        layout.addLayout(flow)
        layout.addWidget(self._none)
        layout.addWidget(self._about)
        layout.addWidget(self.everywhere)
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
        self._number = number
        self.keys.refresh()
        self.tempo.show_part(number)
        song = self._document.song
        part = song.parts[number - 1]
        chosen = pattern_in(song, part.teaching.pattern)
        self._title.setText(self.tr("Part %1: the left hand plays").replace("%1", str(number)))
        for name, button in self.patterns.items():
            button.setChecked(name == chosen.name)
            button.setVisible(bool(part.chords))
        self._none.setVisible(not part.chords and not part.hand(Hand.LEFT))
        self._about.setText(self._effect(song, number) if part.chords else "")
        different = any(other.teaching.pattern != chosen.name for other in song.parts if other.chords)
        text = self.tr("Use %1 in every part").replace("%1", chosen.title)
        self.everywhere.setText(text)
        self.everywhere.setAccessibleName(text)
        self.everywhere.setVisible(bool(part.chords) and different)

    def _effect(self, song: Song, number: int) -> str:
        """What the chosen pattern is, and its effort beside that of block chords."""
        chosen = pattern_in(song, song.parts[number - 1].teaching.pattern)
        plain = round(part_effort(song, number, "block").total)
        effort = round(part_effort(song, number, chosen.name).total)
        if chosen.name == "block":
            cost = self.tr("Effort of the part: %1 of 100.").replace("%1", str(effort))
        else:
            cost = self.tr("Effort of the part: %1 of 100; with block chords %2.")
            cost = cost.replace("%1", str(effort)).replace("%2", str(plain))
        return f"{chosen.words} {cost}"

    def _choose(self, name: str) -> None:
        number = self._number
        self._document.apply(lambda song: set_pattern(song, number, name), self.tr("left-hand pattern"))
        self.show_part(number)

    def _choose_everywhere(self) -> None:
        name = self._document.song.parts[self._number - 1].teaching.pattern

        def everywhere(song: Song) -> Song:
            for number in range(1, len(song.parts) + 1):
                song = set_pattern(song, number, name)
            return song

        self._document.apply(everywhere, self.tr("left-hand pattern in every part"))

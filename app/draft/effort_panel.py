"""Effort of the selected part with its seven causes as bars, and what to look at in it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QCoreApplication, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QGridLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from app.widgets.labels import label
from app.widgets.painting import colour
from app.widgets.themes import Themes
from core.drawing.shapes import Role
from core.teaching.effort import Causes

BAR_HEIGHT: Final = 6


def cause_titles() -> dict[str, str]:
    """The seven causes of effort, and what they are called."""
    return {
        "reach": QCoreApplication.translate("Effort", "Reach"),
        "travel": QCoreApplication.translate("Effort", "Travel"),
        "black_keys": QCoreApplication.translate("Effort", "Black keys"),
        "rhythm": QCoreApplication.translate("Effort", "Rhythm"),
        "coordination": QCoreApplication.translate("Effort", "Coordination"),
        "memory": QCoreApplication.translate("Effort", "Memory"),
        "speed": QCoreApplication.translate("Effort", "Speed"),
    }


class EffortBar(QWidget):
    """A bar from 0 to 100."""

    def __init__(self, themes: Themes, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._themes = themes
        self._value = 0.0
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def set_value(self, value: float) -> None:
        """Show another value, 0 … 100."""
        fitting = min(100.0, max(0.0, value))
        if fitting != self._value:
            self._value = fitting
            self.update()

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """Room for the bar."""
        return QSize(120, BAR_HEIGHT + 8)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002, N802 - Qt's name
        """Paint the bar on its track."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        top = (self.height() - BAR_HEIGHT) / 2
        theme = self._themes.theme
        corner = BAR_HEIGHT / 2
        painter.setBrush(colour(theme[Role.CARD_EDGE]))
        painter.drawRoundedRect(QRectF(0, top, self.width(), BAR_HEIGHT), corner, corner)
        filled = self.width() * self._value / 100
        if filled >= 1:
            painter.setBrush(colour(theme[Role.QUIET]))
            painter.drawRoundedRect(QRectF(0, top, max(filled, BAR_HEIGHT), BAR_HEIGHT), corner, corner)
        painter.end()


class EffortPanel(QWidget):
    """Effort in a line, its causes as bars."""

    def __init__(self, themes: Themes, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._total = label("", self, look="heading")
        self._bars: dict[str, EffortBar] = {}
        self._figures: dict[str, QLabel] = {}
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(2)
        grid.setColumnStretch(1, 1)
        grid.addWidget(self._total, 0, 0, 1, 3)
        for row, (cause, title) in enumerate(cause_titles().items(), 1):
            name = label(title, self, look="quiet")
            bar = EffortBar(themes, self)
            figure = label("", self, look="quiet")
            figure.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            grid.addWidget(name, row, 0)
            grid.addWidget(bar, row, 1)
            grid.addWidget(figure, row, 2)
            self._bars[cause] = bar
            self._figures[cause] = figure

    def show_effort(self, total: float, causes: Causes) -> None:
        """Show a part's effort."""
        self._total.setText(self.tr("Effort %1 of 100").replace("%1", str(round(total))))
        for cause, title in cause_titles().items():
            value = getattr(causes, cause)
            self._bars[cause].set_value(value)
            self._figures[cause].setText(str(round(value)))
            self._bars[cause].setAccessibleName(f"{title}: {round(value)}")
            self._figures[cause].setAccessibleName(f"{title}: {round(value)}")


class ThingsToLookAt(QWidget):
    """Sentences about what deserves a look; with none, nothing is shown at all."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._heading = label(self.tr("To look at"), self, look="heading")
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._layout.setSpacing(4)
        self._layout.addWidget(self._heading)
        self._lines: list[QLabel] = []
        self.show_sentences(())

    @property
    def sentences(self) -> tuple[str, ...]:
        """What is shown."""
        return tuple(line.text() for line in self._lines)

    def show_sentences(self, sentences: Sequence[str]) -> None:
        """Show other sentences."""
        if tuple(sentences) != self.sentences:
            for line in self._lines:
                self._layout.removeWidget(line)
                line.hide()
                line.deleteLater()
            self._lines = [label(sentence, self, look="quiet") for sentence in sentences]
            for line in self._lines:
                line.setWordWrap(True)
                self._layout.addWidget(line)
        self._heading.setVisible(bool(sentences))

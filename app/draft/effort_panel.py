"""Effort of the selected part with its seven causes as bars, and what to look at in it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QCoreApplication, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QGridLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from app.widgets.labels import label
from app.widgets.painting import colour
from app.widgets.place_link import PlaceLink
from app.widgets.themes import Themes
from core.drawing.shapes import Role
from core.session.analysis import Remark
from core.teaching.effort import Effort, Reason

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
    """Effort in a line, its causes as bars; a cause that has a moment of its own leads there."""

    moment_wanted = Signal(int)
    """A moment to be shown, in ticks from the song's start."""

    def __init__(self, themes: Themes, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._total = label("", self, look="heading")
        self._bars: dict[str, EffortBar] = {}
        self._figures: dict[str, QLabel] = {}
        self.causes: dict[str, PlaceLink] = {}
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(2)
        grid.setColumnStretch(1, 1)
        grid.addWidget(self._total, 0, 0, 1, 3)
        for row, (cause, title) in enumerate(cause_titles().items(), 1):
            name = PlaceLink(title, self)
            name.chosen.connect(self.moment_wanted)
            bar = EffortBar(themes, self)
            figure = label("", self, look="quiet")
            figure.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            grid.addWidget(name, row, 0)
            grid.addWidget(bar, row, 1)
            grid.addWidget(figure, row, 2)
            self._bars[cause] = bar
            self._figures[cause] = figure
            self.causes[cause] = name

    def show_effort(self, effort: Effort) -> None:
        """Show a part's effort."""
        self._total.setText(self.tr("Effort %1 of 100").replace("%1", str(round(effort.total))))
        for cause, title in cause_titles().items():
            value = getattr(effort.causes, cause)
            self._explain(cause, title, [reason for reason in effort.reasons if reason.cause == cause])
            self._bars[cause].set_value(value)
            figure = str(round(value))
            if figure != self._figures[cause].text():
                self._figures[cause].setText(figure)
                self._bars[cause].setAccessibleName(f"{title}: {figure}")
                self._figures[cause].setAccessibleName(f"{title}: {figure}")

    def _explain(self, cause: str, title: str, reasons: Sequence[Reason]) -> None:
        """Say in a hint what makes a cause what it is; its name leads to the first such moment."""
        said = "\n".join(dict.fromkeys(reason.text for reason in reasons))
        hint = said or self.tr("Nothing in this part stands out here.")
        self.causes[cause].show_place(title, reasons[0].tick if reasons else None)
        if hint != self.causes[cause].toolTip():
            for widget in (self.causes[cause], self._bars[cause], self._figures[cause]):
                widget.setToolTip(hint)
            self.causes[cause].setAccessibleDescription(hint)


class ThingsToLookAt(QWidget):
    """Sentences about what deserves a look; with none, nothing is shown at all. A press shows the bar it speaks of."""

    moment_wanted = Signal(int)
    """A moment to be shown, in ticks from the song's start."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._heading = label(self.tr("To look at"), self, look="heading")
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._layout.setSpacing(4)
        self._layout.addWidget(self._heading)
        self.lines: list[PlaceLink] = []
        self._spare: list[PlaceLink] = []
        self.show_remarks(())

    @property
    def sentences(self) -> tuple[str, ...]:
        """What is shown."""
        return tuple(line.text() for line in self.lines)

    def show_remarks(self, remarks: Sequence[Remark]) -> None:
        """Show other sentences."""
        while len(self.lines) > len(remarks):
            line = self.lines.pop()
            line.hide()
            self._spare.append(line)  # the next part may need it, and to make one takes longer than all the rest
        while len(self.lines) < len(remarks):
            self.lines.append(self._spare.pop() if self._spare else self._new_line())
        for line, remark in zip(self.lines, remarks, strict=True):
            line.show_place(remark.text, remark.tick)
            line.show()
        self._heading.setVisible(bool(remarks))

    def _new_line(self) -> PlaceLink:
        line = PlaceLink("", self)
        line.setWordWrap(True)
        line.chosen.connect(self.moment_wanted)
        self._layout.addWidget(line)
        return line

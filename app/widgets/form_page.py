"""A page with a title, what is filled in, and buttons; Escape leaves it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QScrollArea, QVBoxLayout, QWidget

from app.widgets.labels import label

WIDEST: Final = 560
"""Pixels: a line of a form that is longer is hard to follow."""
WIDEST_LETTERS: Final = 66
"""The same in letters, where the text is larger than usual."""
SPACING: Final = 18


class FormPage(QScrollArea):
    """The frame that pages of fields share; it scrolls where the text is too large for the window."""

    def __init__(self, leave: Callable[[], object], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._leave = leave
        self._inside = QWidget(self)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def fill(
        self, title: str, contents: Sequence[QWidget], buttons: Sequence[QPushButton], spacing: int = SPACING
    ) -> None:
        """Lay out the page, once its fields are made; `spacing` in pixels between them."""
        row = QHBoxLayout()
        for button in buttons:
            row.addWidget(button)
        row.addStretch()
        column = QVBoxLayout(self._inside)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(spacing)
        column.addWidget(label(title, self._inside, size="title", bold=True))
        for content in contents:
            column.addWidget(content)
        if spacing < SPACING:
            column.addSpacing(SPACING - spacing)
        column.addLayout(row)
        column.addStretch()
        ground = QWidget(self)
        layout = QHBoxLayout(ground)
        layout.setContentsMargins(32, 24, 32, 24)
        layout.addWidget(self._inside, 1)
        layout.addStretch(1)
        self.setWidget(ground)
        self.viewport().setAutoFillBackground(False)
        ground.setAutoFillBackground(False)
        self._narrow()

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """A larger text has wider lines."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.FontChange:
            self._narrow()

    def _narrow(self) -> None:
        self._inside.setMaximumWidth(max(WIDEST, WIDEST_LETTERS * self.fontMetrics().averageCharWidth()))

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Escape leaves the page."""
        if event.key() == Qt.Key.Key_Escape:
            self._leave()
            return
        super().keyPressEvent(event)

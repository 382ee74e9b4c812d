"""A page with a title, what is filled in, and buttons; Escape leaves it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from app.widgets.labels import label

WIDEST = 560
"""Pixels: a line of a form that is longer is hard to follow."""


class FormPage(QWidget):
    """The frame that pages of fields share."""

    def __init__(self, leave: Callable[[], object], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._leave = leave

    def fill(self, title: str, contents: Sequence[QWidget], buttons: Sequence[QPushButton]) -> None:
        """Lay out the page, once its fields are made."""
        row = QHBoxLayout()
        for button in buttons:
            row.addWidget(button)
        row.addStretch()
        inside = QWidget(self)
        inside.setMaximumWidth(WIDEST)
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(18)
        column.addWidget(label(title, inside, size="title", bold=True))
        for content in contents:
            column.addWidget(content)
        column.addLayout(row)
        column.addStretch()
        layout = QHBoxLayout(self)
        layout.setContentsMargins(32, 24, 32, 24)
        layout.addWidget(inside, 1)
        layout.addStretch(1)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Escape leaves the page."""
        if event.key() == Qt.Key.Key_Escape:
            self._leave()
            return
        super().keyPressEvent(event)

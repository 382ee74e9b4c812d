"""A line of a list in as many lines as its text needs; Qt's own measure forgets the padding of the style sheet."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtWidgets import QListWidget, QStyledItemDelegate, QStyleOptionViewItem

SIDES: Final = 24
"""Pixels that the style sheet and Qt keep free left and right of the text together."""
ABOVE_AND_BELOW: Final = 10
TALLEST: Final = 10_000
"""Pixels: no text has more lines."""


class WrappedLine(QStyledItemDelegate):
    """Measures the lines of a list that wraps its texts."""

    def __init__(self, view: QListWidget) -> None:
        super().__init__(view)
        self._view = view

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:  # noqa: N802 - Qt's name
        """As wide as the list, as high as the lines are."""
        width = self._view.viewport().width()
        room = QRect(0, 0, max(1, width - SIDES), TALLEST)
        lines = option.fontMetrics.boundingRect(room, Qt.TextFlag.TextWordWrap.value, str(index.data()))
        return QSize(width, lines.height() + ABOVE_AND_BELOW)


def wrap_lines(view: QListWidget) -> None:
    """Let a list show each of its texts whole."""
    view.setWordWrap(True)
    view.setResizeMode(QListWidget.ResizeMode.Adjust)
    view.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    view.setItemDelegate(WrappedLine(view))

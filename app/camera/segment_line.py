"""A line of the running order: when the segment begins, and what it is called, in as many lines as that needs."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QFontMetrics, QPainter, QPalette, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractScrollArea,
    QApplication,
    QListWidget,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

TIME_ROLE: Final = Qt.ItemDataRole.UserRole
INSET: Final = 10
LINE_HEIGHT: Final = 28
MARGIN: Final = 5
GAP: Final = 14
TALLEST: Final = 10_000
"""Pixels: no title has more lines."""
WRAPPED: Final = int(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft) | int(Qt.TextFlag.TextWordWrap.value)


class SegmentList(QListWidget):
    """The running order; the segment that is said now stays in sight when lines are wrapped anew."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setItemDelegate(SegmentLine(self))
        self.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Wrap the lines to the new width."""
        super().resizeEvent(event)
        self.doItemsLayout()
        self.scrollToItem(self.currentItem())


class SegmentLine(QStyledItemDelegate):
    """Paints the time in a column of its own."""

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Paint the ground, the time, the title."""
        whole = QStyleOptionViewItem(option)
        self.initStyleOption(whole, index)
        title, whole.text = whole.text, ""
        style = whole.widget.style() if whole.widget else QApplication.style()
        style.drawControl(QStyle.ControlElement.CE_ItemViewItem, whole, painter, whole.widget)
        chosen = bool(whole.state & QStyle.StateFlag.State_Selected)
        painter.save()
        painter.setFont(whole.font)
        role = QPalette.ColorRole.HighlightedText if chosen else QPalette.ColorRole.Text
        painter.setPen(whole.palette.color(role))
        box = whole.rect.adjusted(INSET, MARGIN, -INSET, -MARGIN)
        painter.drawText(box, int(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft), str(index.data(TIME_ROLE)))
        box.setLeft(box.left() + _time_column(whole.fontMetrics))
        painter.drawText(box, WRAPPED, title)
        painter.restore()

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:  # noqa: N802 - Qt's name
        """As wide as the list, as high as the title's lines."""
        view = option.widget
        width = view.viewport().width() if isinstance(view, QAbstractScrollArea) else option.rect.width()
        letters = option.fontMetrics
        room = QRect(0, 0, max(1, width - 2 * INSET - _time_column(letters)), TALLEST)
        height = letters.boundingRect(room, WRAPPED, str(index.data())).height()
        return QSize(width, max(LINE_HEIGHT, height + 2 * MARGIN))


def _time_column(letters: QFontMetrics) -> int:
    return letters.horizontalAdvance("00:00") + GAP

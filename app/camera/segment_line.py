"""A line of the running order: when the segment begins, and what it is called."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QSize, Qt
from PySide6.QtGui import QPainter, QPalette
from PySide6.QtWidgets import QApplication, QStyle, QStyledItemDelegate, QStyleOptionViewItem

TIME_ROLE: Final = Qt.ItemDataRole.UserRole
INSET: Final = 10
LINE_HEIGHT: Final = 28


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
        column = whole.fontMetrics.horizontalAdvance("00:00") + 14
        box = whole.rect.adjusted(INSET, 0, -INSET, 0)
        flags = int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft)
        painter.drawText(box, flags, str(index.data(TIME_ROLE)))
        box.setLeft(box.left() + column)
        painter.drawText(box, flags, whole.fontMetrics.elidedText(title, Qt.TextElideMode.ElideRight, box.width()))
        painter.restore()

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:  # noqa: N802 - Qt's name
        """A line."""
        return QSize(super().sizeHint(option, index).width(), max(LINE_HEIGHT, option.fontMetrics.height() + 8))

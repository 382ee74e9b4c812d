"""A layout that sets its controls in lines, like words."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget


class FlowLayout(QLayout):
    """Controls from left to right, in as many lines as they need."""

    def __init__(self, parent: QWidget | None = None, spacing: int = 8) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self.setContentsMargins(0, 0, 0, 0)
        self.setSpacing(spacing)

    def addItem(self, item: QLayoutItem) -> None:  # noqa: N802 - Qt's name
        """Take another control."""
        self._items.append(item)

    def count(self) -> int:
        """How many controls there are."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:  # noqa: N802 - Qt's name
        """The control at a place, or None."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:  # noqa: N802 - Qt's name
        """Let go of the control at a place, or None."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:  # noqa: N802 - Qt's name
        """It asks for no more room than it needs."""
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:  # noqa: N802 - Qt's name
        """Its height follows from its width."""
        return True

    def heightForWidth(self, width: int) -> int:  # noqa: N802 - Qt's name
        """Height of the lines in a width."""
        return self._place(QRect(0, 0, width, 0), move=False)

    def setGeometry(self, rect: QRect) -> None:  # noqa: N802 - Qt's name
        """Set the controls in a rectangle."""
        super().setGeometry(rect)
        self._place(rect, move=True)

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """As large as its largest control."""
        return self.minimumSize()

    def minimumSize(self) -> QSize:  # noqa: N802 - Qt's name
        """As large as its largest control."""
        size = QSize()
        for item in self._items:
            size = size.expandedTo(item.minimumSize())
        return size

    def _place(self, rect: QRect, *, move: bool) -> int:
        x, y, high = rect.x(), rect.y(), 0
        line: list[tuple[QLayoutItem, int]] = []
        for item in self._items:
            if item.isEmpty():
                continue
            size = item.sizeHint()
            if line and x + size.width() > rect.right() + 1:
                self._set(line, y, high if move else 0)
                x, y, high, line = rect.x(), y + high + self.spacing(), 0, []
            line.append((item, x))
            x += size.width() + self.spacing()
            high = max(high, size.height())
        self._set(line, y, high if move else 0)
        return y + high - rect.y()

    def _set(self, line: list[tuple[QLayoutItem, int]], y: int, high: int) -> None:
        """Set a line's controls at the same middle; none where the line has no height."""
        for item, x in line if high else ():
            size = item.sizeHint()
            item.setGeometry(QRect(QPoint(x, y + (high - size.height()) // 2), size))

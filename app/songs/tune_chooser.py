"""A book of tunes: which one to open."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from app.widgets.button import Button
from app.widgets.labels import label
from app.widgets.text_editors import LineField
from app.widgets.wrapped_line import wrap_lines

NUMBER_ROLE = Qt.ItemDataRole.UserRole


class TuneChooser(QWidget):
    """The tunes of a book, to be filtered by typing and opened with Enter."""

    def __init__(
        self, open_tune: Callable[[Path], object], leave: Callable[[], object], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._open_tune = open_tune
        self._leave = leave
        self._path = ""
        self._title = label("", self, size="title", bold=True)
        self.filter = LineField(self)
        self.filter.setAccessibleName(self.tr("Filter the tunes"))
        self.filter.setPlaceholderText(self.tr("Type to filter by title"))
        self.filter.textChanged.connect(self._look_for)
        self.filter.returnPressed.connect(self._open)
        self.filter.cancelled.connect(leave)
        self.list = QListWidget(self)
        self.list.setAccessibleName(self.tr("Tunes"))
        wrap_lines(self.list)
        self.list.itemActivated.connect(lambda _item: self._open())
        self.open = Button(self.tr("Open"), self, name=self.tr("Open the selected tune"), does=self._open)
        back = Button(self.tr("Back to work"), self, does=leave)
        head = QHBoxLayout()
        head.addWidget(self._title)
        head.addStretch()
        head.addWidget(back)
        row = QHBoxLayout()
        row.addWidget(self.filter, 1)
        row.addWidget(self.open)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(32, 20, 32, 24)
        layout.setSpacing(12)
        layout.addLayout(head)
        layout.addLayout(row)
        layout.addWidget(self.list, 1)

    def show_book(self, path: str, titles: Sequence[str]) -> None:
        """Show the tunes of a book."""
        self._path = path
        self._title.setText(self.tr("Tunes in %1").replace("%1", Path(path).name))
        self.filter.clear()
        self.list.clear()
        for number, title in enumerate(titles, 1):
            item = QListWidgetItem(title or self.tr("Tune %1").replace("%1", str(number)))
            item.setData(NUMBER_ROLE, number)
            self.list.addItem(item)
        self.list.setCurrentRow(0)
        self.filter.setFocus(Qt.FocusReason.OtherFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Escape leaves the page."""
        if event.key() == Qt.Key.Key_Escape:
            self._leave()
            return
        super().keyPressEvent(event)

    def _look_for(self, text: str) -> None:
        words = text.casefold().split()
        first: QListWidgetItem | None = None
        for row in range(self.list.count()):
            item = self.list.item(row)
            found = all(word in item.text().casefold() for word in words)
            item.setHidden(not found)
            if found and first is None:
                first = item
        current = self.list.currentItem()
        if first is not None and (current is None or current.isHidden()):
            self.list.setCurrentItem(first)

    def _open(self) -> None:
        item = self.list.currentItem()
        if item is not None and not item.isHidden():
            self._open_tune(Path(f"{self._path}#{item.data(NUMBER_ROLE)}"))

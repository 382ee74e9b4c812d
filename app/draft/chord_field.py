"""A chord's name typed in place, on the sheet; a mistake is said at once, with its place."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QRect, Qt, Signal
from PySide6.QtWidgets import QWidget

from app.widgets.text_editors import LineField

if TYPE_CHECKING:
    from app.draft.chord_suggestions import ChordSuggestions

WIDTH = 132


class ChordField(QObject):
    """The field while a chord is being named, and nothing otherwise."""

    faulty = Signal(str)
    """What is wrong with what has been typed so far."""
    mended = Signal()
    """What has been typed so far is a chord's name again."""
    closed = Signal()
    """The field is gone; the sheet may have the keyboard's attention again."""

    def __init__(
        self,
        fault_in: Callable[[str], str | None],
        name: Callable[[int, int, str], bool],
        complete: Callable[[int, int, str], Sequence[str]],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._fault_in = fault_in
        self._name = name
        self._complete = complete
        self.suggestions: ChordSuggestions | None = None
        self._part = 1
        self._onset = 0
        self.field: LineField | None = None

    def open(self, ground: QWidget, box: QRect, part: int, onset: int, text: str) -> None:
        """Let a name be typed.

        Args:
            ground: the widget to lie on.
            box: where.
            part: the chord's part.
            onset: ticks from the part's start.
            text: the name it has.
        """
        self.close()
        self._part, self._onset = part, onset
        field = LineField(ground)
        from app.draft.chord_suggestions import ChordSuggestions

        suggestions = ChordSuggestions(ground, field)
        suggestions.taken.connect(self._take_name)
        self.suggestions = suggestions
        field.setText(text)
        field.setAccessibleName(self.tr("Name of the chord"))
        height = max(box.height(), field.sizeHint().height())
        left = max(4, min(box.left(), ground.width() - WIDTH - 4))
        field.setGeometry(left, box.center().y() - height // 2, WIDTH, height)
        field.textEdited.connect(self._check)
        field.returnPressed.connect(self._take)
        field.cancelled.connect(self.close)
        field.left.connect(self._leave)
        self.field = field
        field.show()
        field.selectAll()
        field.setFocus(Qt.FocusReason.OtherFocusReason)

    def begin_with(self, text: str) -> None:
        """Let what has been typed so far stand in place of the name there was."""
        if self.field is not None:
            self.field.insert(text)
            self.field.setModified(True)
            self._check(self.field.text())

    def close(self) -> None:
        """Put the field away without naming anything."""
        field, self.field = self.field, None
        suggestions, self.suggestions = self.suggestions, None
        if suggestions is not None:
            suggestions.hide()
            suggestions.deleteLater()
        if field is not None:
            field.hide()
            field.deleteLater()
            self.mended.emit()
            self.closed.emit()

    def _check(self, text: str) -> None:
        fault = self._fault_in(text) if text.strip() else None
        if fault:
            self.faulty.emit(fault)
        else:
            self.mended.emit()
        if self.suggestions is not None:
            self.suggestions.suggest(self._complete(self._part, self._onset, text) if text.strip() else ())

    def _take(self) -> None:
        if self.field is not None:
            chosen = self.suggestions.chosen if self.suggestions is not None else None
            self._take_name(chosen or self.field.text())

    def _take_name(self, text: str) -> None:
        if self._name(self._part, self._onset, text):
            self.close()

    def _leave(self) -> None:
        """The keyboard's attention went elsewhere: a name that is one stands, anything else is dropped."""
        if self.field is None:
            return
        text = self.field.text()
        if self.field.isModified() and self._fault_in(text) is None:
            self._name(self._part, self._onset, text)
        self.close()

"""The selected part's right hand as a line of text that can be typed."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QWidget

from app.document.document import LessonDocument
from app.widgets.labels import label
from app.widgets.text_editors import LineField
from core.edits.note_text import write_line
from core.edits.set_right_hand_line import set_right_hand_line


class RightHandLine(QWidget):
    """A line such as ``C# B A A | B - - .``; it takes effect while it is typed."""

    def __init__(self, document: LessonDocument, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._number = 1
        self._is_typing = False
        self._title = label("", self, look="quiet")
        self.field = LineField(self)
        self.field.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.field.setToolTip(
            self.tr(
                "Notes from middle C up are C to B, an octave higher c to b; # and b after the letter; "
                "each - makes a note a beat longer, . is a rest, | a bar line, :1/2 half a beat."
            )
        )
        self.field.textEdited.connect(self._type)
        self.field.left.connect(self._leave)
        self.field.returnPressed.connect(self._leave)
        self.field.cancelled.connect(self._cancel)
        self._title.setBuddy(self.field)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(8)
        layout.addWidget(self._title)
        layout.addWidget(self.field, 1)

    def show_part(self, number: int) -> None:
        """Show the line of a part; while it is being typed, what was typed stays."""
        if self._is_typing:
            return
        self._number = number
        title = self.tr("Part %1, right hand").replace("%1", str(number))
        self._title.setText(title)
        self.field.setAccessibleName(title)
        line = write_line(self._document.song, number)
        if line != self.field.text():
            self.field.setText(line)
            self.field.setCursorPosition(0)

    @property
    def _run(self) -> str:
        return f"line of part {self._number}"

    def _type(self, text: str) -> None:
        number = self._number
        self._is_typing = True
        self._document.apply(
            lambda song: set_right_hand_line(song, number, text), self.tr("right hand of a part"), self._run
        )
        self._is_typing = False

    def _leave(self) -> None:
        """What could be read stands, written as the program writes it."""
        self._document.end_typing()
        self.show_part(self._number)

    def _cancel(self) -> None:
        """The line becomes what it was before the typing began."""
        self._document.cancel_typing(self._run)
        self.show_part(self._number)

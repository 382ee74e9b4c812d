"""What to say in the selected part: computed, or in the teacher's own words, with a way back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from PySide6.QtCore import QCoreApplication, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.document.document import LessonDocument
from app.widgets.button import Button
from app.widgets.labels import label
from app.widgets.text_editors import TextField
from core.edits.set_words import set_words
from core.song.part import OwnWords

LOOKS: Final = {"right_hand": "right", "left_hand": "left", "together": "both"}


def kind_title(kind: str) -> str:
    """What the words for a hand, or for both, are called."""
    titles = {
        "right_hand": QCoreApplication.translate("Words", "Right hand"),
        "left_hand": QCoreApplication.translate("Words", "Left hand"),
        "together": QCoreApplication.translate("Words", "Together"),
    }
    return titles[kind]


class WordsOfOneKind(QWidget):
    """The words for one hand, or for both together."""

    typed = Signal(str)
    """The teacher's own words, as typed."""
    given_back = Signal()
    """The computed words are wanted again."""
    accepted = Signal()
    """The words were looked at after the part changed, and still hold."""

    def __init__(self, kind: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        title = kind_title(kind)
        self._expected = ""
        self._title = label(title, self, look=LOOKS[kind])
        self._back = Button(self.tr("Computed words"), self, look="link", does=self.given_back.emit)
        self._back.setAccessibleName(self.tr("%s: go back to the computed words") % title)
        self._back.setToolTip(self.tr("Go back to the computed words"))
        self._accept = Button(self.tr("Still right"), self, look="link", does=self.accepted.emit)
        self._accept.setAccessibleName(self.tr("%s: the words are still right") % title)
        self._changed = label(self.tr("The part has changed since."), self, look="warning", size="small")
        self.field = TextField(self)
        self.field.setProperty("look", LOOKS[kind])
        self.field.setAccessibleName(self.tr("%s: what to say") % title)
        self.field.textChanged.connect(self._report)
        self._title.setBuddy(self.field)
        head = QHBoxLayout()
        head.setContentsMargins(0, 0, 0, 0)
        head.addWidget(self._title)
        head.addStretch()
        head.addWidget(self._back)
        review = QHBoxLayout()
        review.setContentsMargins(0, 0, 0, 0)
        review.addWidget(self._changed)
        review.addStretch()
        review.addWidget(self._accept)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(2)
        layout.addLayout(head)
        layout.addLayout(review)
        layout.addWidget(self.field)
        self.show_words("", None)

    def show_words(self, computed: str, own: OwnWords | None, *, while_typing: bool = False) -> None:
        """Show the words; while they are being typed, the field is left as it is."""
        self._expected = own.text if own else computed
        self._back.setVisible(own is not None)
        review = own is not None and own.review
        self._changed.setVisible(review)
        self._accept.setVisible(review)
        if not while_typing:
            self.field.show_text(self._expected)

    def show_expected(self) -> None:
        """Show the words again as the lesson has them."""
        if self.field.toPlainText() != self._expected:
            self.field.setPlainText(self._expected)

    def _report(self) -> None:
        text = self.field.toPlainText()
        if text.strip() != self._expected.strip():
            self.typed.emit(text)


class WordsPanel(QWidget):
    """Right hand, left hand, together: what to say in a part."""

    def __init__(self, document: LessonDocument, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._number = 1
        self._computed: Mapping[str, str] = {}
        self._typing_kind = ""
        self.kinds = {kind: WordsOfOneKind(kind, self) for kind in LOOKS}
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(10)
        for kind, words in self.kinds.items():
            words.typed.connect(lambda text, kind=kind: self._type(kind, text))
            words.given_back.connect(lambda kind=kind: self._give_back(kind))
            words.accepted.connect(lambda kind=kind: self._accept(kind))
            words.field.left.connect(lambda kind=kind: self._leave(kind))
            layout.addWidget(words)

    def show_part(self, number: int, computed: Mapping[str, str]) -> None:
        """Show a part's words; `computed` has those of every kind."""
        self._number, self._computed = number, computed
        teaching = self._document.song.parts[number - 1].teaching
        for kind, words in self.kinds.items():
            words.show_words(computed[kind], teaching.words_for(kind), while_typing=kind == self._typing_kind)

    def _type(self, kind: str, text: str) -> None:
        same = text.strip() == self._computed.get(kind, "").strip()
        wanted = None if same else text
        number = self._number
        self._typing_kind = kind
        self._document.apply(
            lambda song: set_words(song, number, kind, wanted), self.tr("words"), f"words {number} {kind}"
        )
        self._typing_kind = ""

    def _give_back(self, kind: str) -> None:
        number = self._number
        self._document.apply(lambda song: set_words(song, number, kind, None), self.tr("computed words"))

    def _accept(self, kind: str) -> None:
        number = self._number
        own = self._document.song.parts[number - 1].teaching.words_for(kind)
        if own is not None:
            text = own.text
            self._document.apply(lambda song: set_words(song, number, kind, text), self.tr("words looked at"))

    def _leave(self, kind: str) -> None:
        self._document.end_typing()
        self.kinds[kind].show_expected()
